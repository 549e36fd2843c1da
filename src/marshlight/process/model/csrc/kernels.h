/* The compiled forms of both models. */
#ifndef MARSHLIGHT_KERNELS_H
#define MARSHLIGHT_KERNELS_H
#include "program.h"

enum { BENCHMARK_MODEL = 0, SMALL_MODEL = 1, N_MODELS = 2 };

typedef int (*run_function)(const Program *, const Members *, const double *floors,
                            const double *relative, const int *kind);
typedef void (*contents_function)(const double *settings, double *contents);

extern const run_function plain_runs[N_MODELS], tangent_runs[N_MODELS];
extern const contents_function contents_of[N_MODELS];
/* For processors with AVX2 and FMA; null where the compiler could not make them. */
extern const run_function fast_runs[N_MODELS], lane_runs[N_MODELS];
#endif
