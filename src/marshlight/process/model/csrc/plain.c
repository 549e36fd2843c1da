/* Scalar kernels for any processor. */
#include <math.h>
#include "kernels.h"
#include "naming.h"

#define KIND_SCALAR
#include "working_type.h"
#define PREFIX benchmark_plain
#include "generated_benchmark.h"
#include "rosenbrock.h"
static void benchmark_contents(const double *settings, double *contents)
{
    double derived[N_DERIVED];
    benchmark_plain_derive(settings, derived);
    benchmark_plain_contents(derived, contents);
}
#undef PREFIX
#define PREFIX small_plain
#include "generated_small.h"
#include "rosenbrock.h"
static void small_contents(const double *settings, double *contents)
{
    double derived[N_DERIVED];
    small_plain_derive(settings, derived);
    small_plain_contents(derived, contents);
}
#undef PREFIX
#undef KIND_SCALAR

const run_function plain_runs[N_MODELS] = {benchmark_plain_run, small_plain_run};
const contents_function contents_of[N_MODELS] = {benchmark_contents, small_contents};
