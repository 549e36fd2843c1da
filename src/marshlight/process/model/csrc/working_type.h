/* The number type the kernel works in, chosen by KIND_SCALAR, KIND_TANGENT or KIND_LANES.

   scalar   plain doubles
   tangent  complex doubles whose imaginary part carries a derivative (complex step)
   lanes    four members side by side */
#undef REAL
#undef NUMBER
#undef LANES
#undef LANE
#undef EXP
#undef LOG
#undef SQRT
#undef MAX
#undef MIN
#undef PLAIN
#undef PLAINLY
#undef PLAIN_MAX
#undef PLAIN_MIN

#if defined(KIND_TANGENT)
#define REAL double complex
#define NUMBER(x) ((double complex)(x))
#define LANES 1
#define LANE(x, lane) creal(x)
#define EXP(x) cexp(x)
#define LOG(x) clog(x)
#define SQRT(x) csqrt(x)
#define MAX(x, y) (creal(x) > creal(y) ? (x) : (y))
#define MIN(x, y) (creal(x) < creal(y) ? (x) : (y))
#elif defined(KIND_LANES)
#define REAL lanes_t
#define NUMBER(x) ((lanes_t){0} + (x))
#define LANES 4
#define LANE(x, lane) ((x)[lane])
#define EXP(x) lanes_exp(x)
#define LOG(x) lanes_log(x)
#define SQRT(x) lanes_sqrt(x)
#define MAX(x, y) lanes_max(x, y)
#define MIN(x, y) lanes_min(x, y)
#else
#define REAL double
#define NUMBER(x) ((double)(x))
#define LANES 1
#define LANE(x, lane) (x)
#define EXP(x) exp(x)
#define LOG(x) log(x)
#define SQRT(x) sqrt(x)
#define MAX(x, y) ((x) > (y) ? (x) : (y))
#define MIN(x, y) ((x) < (y) ? (x) : (y))
#endif

/* The number without its derivative: what the size of a step is judged by. */
#if defined(KIND_LANES)
#define PLAIN lanes_t
#define PLAINLY(x) (x)
#define PLAIN_MAX(x, y) lanes_max(x, y)
#define PLAIN_MIN(x, y) lanes_min(x, y)
#else
#define PLAIN double
#define PLAINLY(x) LANE(x, 0)
#define PLAIN_MAX(x, y) ((x) > (y) ? (x) : (y))
#define PLAIN_MIN(x, y) ((x) < (y) ? (x) : (y))
#endif

#undef INLINE
#undef ALIGNED
#if defined(__GNUC__)
#define INLINE static inline __attribute__((always_inline))
#else
#define INLINE static inline
#endif
#if defined(__AVX2__)
#define ALIGNED __attribute__((aligned(32)))
#else
#define ALIGNED
#endif
