/* The compiled forms of both models. */
#ifndef MARSHLIGHT_KERNELS_H
#define MARSHLIGHT_KERNELS_H
#include <stddef.h>
#include "program.h"

enum { BENCHMARK_MODEL = 0, SMALL_MODEL = 1, N_MODELS = 2 };

typedef int (*run_function)(const Program *, const Members *, const double *floors,
                            const double *relative, const int *kind);
typedef void (*contents_function)(const double *settings, double *contents);

/* The equations alone, for other integrators: pH is found anew at every call. */
typedef void (*begin_function)(const double *settings, void *room);
typedef int (*slopes_function)(void *room, const double *states, double *slopes);

extern const size_t room_of[N_MODELS];
extern const begin_function begins[N_MODELS];
extern const slopes_function slopes_of[N_MODELS];
extern const run_function plain_runs[N_MODELS], tangent_runs[N_MODELS];
extern const contents_function contents_of[N_MODELS];
/* For processors with AVX2 and FMA; null where the compiler could not make them. */
extern const run_function fast_runs[N_MODELS], lane_runs[N_MODELS];
#endif
