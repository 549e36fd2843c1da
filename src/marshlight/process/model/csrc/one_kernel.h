/* One run of one model in one working type: included once for each pair. */
#include "member.h"
#include "happenings.h"
#include "rosenbrock.h"

static int NAME(run)(const Program *program, const Members *members, const double *floors,
                     const double *relative, const int *kind)
{
    NAME(Run) run;
    double t = program->start;
    int status = DONE;
    long segment = 0;
    run.program = program;
    run.start = program->first_step;
    run.next_out = run.steps = run.rejected = 0;
    for (int i = 0; i < N_SETTINGS; i++)
        run.settings[i] = NAME(load)(members->settings, members->settings_stride, i);
    for (int i = 0; i < N_STATES; i++)
        run.y[i] = NAME(load)(members->states, members->states_stride, i);
    for (; segment < program->n_segments && status == DONE; segment++) {
        const double *values = program->override_value + segment * program->n_overrides;
        for (long i = 0; i < program->n_overrides; i++)
            run.settings[program->override_setting[i]] = NUMBER(values[i]);
        NAME(derive)(run.settings, run.derived);
        status = NAME(apply)(&run, members, segment, kind);
        if (status == DONE) status = NAME(equilibrate)(&run);
        if (status != DONE) break;
        const double volume = LANE(NAME(liquid_volume)(&run), 0);
        for (int i = 0; i < N_STATES; i++)
        {
            run.floor[i] = program->rtol * floors[i] * (kind[i] == 3 ? 1.0 : volume);
            run.weight[i] = program->rtol * relative[i];
            run.lowest[i] = kind[i] == 1 || kind[i] == 2 ? -10.0 * run.floor[i] : -INFINITY;
        }
        for (int i = N_STATES; i < N_WHOLE; i++) {
            run.y[i] = NUMBER(0.0);
            run.floor[i] = 1.0;
            run.weight[i] = run.lowest[i] = 0.0;
        }
        while (run.next_out < program->n_out && program->t_out[run.next_out] <= t)
            NAME(report)(&run, members, run.y);
        if (program->segment_end[segment] > t)
            status = NAME(segment)(&run, members, t, program->segment_end[segment]);
        if (status != DONE) break;
        t = program->segment_end[segment];
    }
    while (status == DONE && run.next_out < program->n_out) NAME(report)(&run, members, run.y);
    for (int i = 0; i < N_STATES; i++) {
        if (status == DONE && !isfinite(NAME(largest)(run.y[i]))) status = NOT_FINITE;
        NAME(store)(members->end, N_STATES, i, run.y[i]);
    }
    for (int lane = 0; lane < LANES; lane++) {
        members->counts[3 * lane] = run.steps;
        members->counts[3 * lane + 1] = run.rejected;
        members->counts[3 * lane + 2] = segment;
    }
    return status;
}
