/* The number type the kernel works in, chosen by KIND_SCALAR, KIND_TANGENT or KIND_LANES.

   scalar   plain doubles
   tangent  complex doubles whose imaginary part carries a derivative (complex step)
   lanes    four members side by side */
#undef REAL
#undef NUMBER
#undef LANES
#undef PARTS
#undef LANE
#undef SET_LANE
#undef EXP
#undef LOG
#undef SQRT
#undef MAX
#undef MIN

#if defined(KIND_TANGENT)
#define REAL double complex
#define NUMBER(x) ((double complex)(x))
#define LANES 1
#define PARTS 2
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
#define PARTS 1
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
#define PARTS 1
#define LANE(x, lane) (x)
#define EXP(x) exp(x)
#define LOG(x) log(x)
#define SQRT(x) sqrt(x)
#define MAX(x, y) ((x) > (y) ? (x) : (y))
#define MIN(x, y) ((x) < (y) ? (x) : (y))
#endif
