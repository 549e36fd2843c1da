/* Scalar kernels for any processor. */
#include <math.h>
#include "kernels.h"
#include "naming.h"
#include "tables.h"

#define KIND_SCALAR
#include "working_type.h"
#define PREFIX benchmark_plain
#include "generated_benchmark.h"
#include "one_kernel.h"
static void benchmark_contents(const double *settings, double *contents)
{
    double derived[N_DERIVED];
    benchmark_plain_derive(settings, derived);
    benchmark_plain_contents(derived, contents);
}
static void benchmark_begin(const double *settings, void *room)
{
    benchmark_plain_Run *run = room;
    for (int i = 0; i < N_SETTINGS; i++) run->settings[i] = settings[i];
    benchmark_plain_derive(run->settings, run->derived);
    run->y[AT_LN_PROTON] = -16.0;
#if N_ALGEBRAIC == 2
    run->y[AT_ROOT] = 0.3;
#endif
}
static int benchmark_slopes(void *room, const double *y, double *f)
{
    benchmark_plain_Run *run = room;
    for (int i = 0; i < N_STATES; i++)
        if (benchmark_kind[i] != 3) run->y[i] = y[i];
    const int status = benchmark_plain_equilibrate(run);
    benchmark_plain_slopes(run->y, run->derived, f);
    for (int i = 0; i < N_STATES; i++)
        if (benchmark_kind[i] == 3) f[i] = 0.0;
    return status;
}
#undef PREFIX
#define PREFIX small_plain
#include "generated_small.h"
#include "one_kernel.h"
static void small_contents(const double *settings, double *contents)
{
    double derived[N_DERIVED];
    small_plain_derive(settings, derived);
    small_plain_contents(derived, contents);
}
static void small_begin(const double *settings, void *room)
{
    small_plain_Run *run = room;
    for (int i = 0; i < N_SETTINGS; i++) run->settings[i] = settings[i];
    small_plain_derive(run->settings, run->derived);
    run->y[AT_LN_PROTON] = -16.0;
#if N_ALGEBRAIC == 2
    run->y[AT_ROOT] = 0.3;
#endif
}
static int small_slopes(void *room, const double *y, double *f)
{
    small_plain_Run *run = room;
    for (int i = 0; i < N_STATES; i++)
        if (small_kind[i] != 3) run->y[i] = y[i];
    const int status = small_plain_equilibrate(run);
    small_plain_slopes(run->y, run->derived, f);
    for (int i = 0; i < N_STATES; i++)
        if (small_kind[i] == 3) f[i] = 0.0;
    return status;
}
#undef PREFIX
#undef KIND_SCALAR

const run_function plain_runs[N_MODELS] = {benchmark_plain_run, small_plain_run};
const contents_function contents_of[N_MODELS] = {benchmark_contents, small_contents};
const size_t room_of[N_MODELS] = {sizeof(benchmark_plain_Run), sizeof(small_plain_Run)};
const begin_function begins[N_MODELS] = {benchmark_begin, small_begin};
const slopes_function slopes_of[N_MODELS] = {benchmark_slopes, small_slopes};
