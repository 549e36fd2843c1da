/* The door of the library: plain C, so that a build needs neither Python's headers nor numpy's.
   Python opens it with ctypes, which lets go of the interpreter while a call runs. */
#include "kernels.h"
#include "tables.h"

typedef struct {
    const char *const *names[4]; /* states, settings, observables, elements */
    const double *floor, *relative;
    const int *kind;
} Table;

static const Table tables[N_MODELS] = {
    {{benchmark_states, benchmark_settings, benchmark_observables, benchmark_elements},
     benchmark_floor,
     benchmark_relative,
     benchmark_kind},
    {{small_states, small_settings, small_observables, small_elements},
     small_floor,
     small_relative,
     small_kind}};

/* What one call is asked; the caller answers for the sizes. */
typedef struct {
    Program program;
    Members members;
    long model, form, n_members;
    int *status;
} Request;

enum form { SCALAR = 0, TANGENT = 1, LANES_OF_FOUR = 2 };

const char *marshlight_name(int model, int list, int index)
{
    return tables[model].names[list][index];
}

int marshlight_state_kind(int model, int state) { return tables[model].kind[state]; }

void marshlight_contents(int model, const double *settings, double *contents)
{
    contents_of[model](settings, contents);
}

/* The equations alone, for comparison with other integrators. */
long marshlight_room(int model) { return (long)room_of[model]; }

void marshlight_begin(int model, const double *settings, void *room)
{
    begins[model](settings, room);
}

int marshlight_slopes(int model, void *room, const double *states, double *slopes)
{
    return slopes_of[model](room, states, slopes);
}

/* 1 when this processor runs the faster forms. */
int marshlight_has_fast(void)
{
#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__)
    return fast_runs[0] && __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma");
#else
    return 0;
#endif
}

static long count(const char *const *names)
{
    long n = 0;
    while (names[n]) n++;
    return n;
}

static int run_at(const Request *request, run_function run, long member)
{
    const Table *table = &tables[request->model];
    const Program *program = &request->program;
    const long width = request->form == TANGENT ? 2 : 1;
    Members at = request->members;
    at.settings += member * at.settings_stride * width;
    at.states += member * at.states_stride * width;
    at.vectors += member * at.vectors_stride * width;
    at.out += member * program->n_out * program->n_watched * width;
    at.end += member * count(table->names[0]) * width;
    at.counts += member * 3;
    return run(program, &at, table->floor, table->relative, table->kind);
}

void marshlight_run(const Request *request)
{
    const int fast = marshlight_has_fast();
    run_function single = fast ? fast_runs[request->model] : plain_runs[request->model];
    long member = 0;
    if (request->form == TANGENT) single = tangent_runs[request->model];
    if (request->form == LANES_OF_FOUR && fast) {
        for (; member + 4 <= request->n_members; member += 4) {
            const int status = run_at(request, lane_runs[request->model], member);
            for (long i = member; i < member + 4; i++)
                /* A lane that fails takes its group along: find out which, one by one. */
                request->status[i] = status == DONE ? DONE : run_at(request, single, i);
        }
    }
    for (; member < request->n_members; member++)
        request->status[member] = run_at(request, single, member);
}
