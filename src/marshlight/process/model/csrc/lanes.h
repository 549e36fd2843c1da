/* Arithmetic of four members side by side, in the compiler's own vector type. */
#include <immintrin.h>

typedef double lanes_t __attribute__((vector_size(32)));
typedef long long lanes_int_t __attribute__((vector_size(32)));

/* exp by reduction to 2^k * exp(r), |r| <= ln2/2, and a Taylor polynomial: a few last places. */
static inline lanes_t lanes_exp(lanes_t x)
{
    /* In this order of arguments what is no number stays none. */
    x = (lanes_t)_mm256_max_pd(_mm256_set1_pd(-700.0), _mm256_min_pd(_mm256_set1_pd(700.0), x));
    const double magic = 6755399441055744.0; /* 1.5 * 2^52: adding it rounds to an integer */
    const lanes_t shifted = x * 1.4426950408889634 + magic;
    const lanes_t k = shifted - magic;
    const lanes_t r = (x - k * 0.693147180369123816490) - k * 1.90821492927058770002e-10;
    lanes_t p = r * (1.0 / 6227020800.0) + 1.0 / 479001600.0;
    p = p * r + 1.0 / 39916800.0;
    p = p * r + 1.0 / 3628800.0;
    p = p * r + 1.0 / 362880.0;
    p = p * r + 1.0 / 40320.0;
    p = p * r + 1.0 / 5040.0;
    p = p * r + 1.0 / 720.0;
    p = p * r + 1.0 / 120.0;
    p = p * r + 1.0 / 24.0;
    p = p * r + 1.0 / 6.0;
    p = p * r + 0.5;
    p = p * r + 1.0;
    p = p * r + 1.0;
    /* The low bits of the shifted number hold k; moved up they are its power of two. */
    const lanes_int_t power = ((lanes_int_t)shifted + 1023) << 52;
    return p * (lanes_t)power;
}

static inline lanes_t lanes_log(lanes_t x)
{
    for (int lane = 0; lane < 4; lane++) x[lane] = log(x[lane]);
    return x;
}

static inline lanes_t lanes_sqrt(lanes_t x) { return (lanes_t)_mm256_sqrt_pd(x); }

static inline lanes_t lanes_max(lanes_t x, lanes_t y) { return (lanes_t)_mm256_max_pd(x, y); }

static inline lanes_t lanes_min(lanes_t x, lanes_t y) { return (lanes_t)_mm256_min_pd(x, y); }
