/* Scalar and four-lane kernels that use AVX2 and FMA; the caller asks the processor first. */
#include <math.h>
#include "kernels.h"
#include "naming.h"

#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__)
#pragma GCC target("avx2,fma")
#include "lanes.h"
#define KIND_SCALAR
#include "working_type.h"
#define PREFIX benchmark_fast
#include "generated_benchmark.h"
#include "one_kernel.h"
#undef PREFIX
#define PREFIX small_fast
#include "generated_small.h"
#include "one_kernel.h"
#undef PREFIX
#undef KIND_SCALAR

#define KIND_LANES
#include "working_type.h"
#define PREFIX benchmark_lanes
#include "generated_benchmark.h"
#include "one_kernel.h"
#undef PREFIX
#define PREFIX small_lanes
#include "generated_small.h"
#include "one_kernel.h"

const run_function fast_runs[N_MODELS] = {benchmark_fast_run, small_fast_run};
const run_function lane_runs[N_MODELS] = {benchmark_lanes_run, small_lanes_run};
#else
const run_function fast_runs[N_MODELS] = {0, 0};
const run_function lane_runs[N_MODELS] = {0, 0};
#endif
