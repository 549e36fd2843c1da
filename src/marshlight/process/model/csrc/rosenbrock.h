/* The method: RODAS of Hairer & Wanner (1996), six stages, order 4(3), stiffly accurate, made for
   index-1 differential-algebraic equations, with its dense output of order 3. */

#include "coefficients.h"

#define STAGES 6

/* Add weighted stages to a vector of states; inlined with n known, so that its loops vanish. */
INLINE void NAME(combine)(REAL *restrict to, const REAL *restrict from, const double *weights,
                          double scale, const int n, const REAL (*restrict k)[N_WHOLE])
{
    double w[5];
    for (int s = 0; s < n; s++) w[s] = weights[s] * scale;
    for (int i = 0; i < N_WHOLE; i++) {
        REAL sum = from[i];
        for (int s = 0; s < n; s++) sum += w[s] * k[s][i];
        to[i] = sum;
    }
}

/* One stage from those before it. */
INLINE void NAME(stage)(const NAME(Run) *run, const REAL *matrix, const REAL *z, const double *c,
                        double per_step, const int n, REAL (*k)[N_WHOLE])
{
    REAL f[N_WHOLE] = {0};
    NAME(slopes)(z, run->derived, f);
    NAME(combine)(k[n], f, c, per_step, n, (const REAL (*)[N_WHOLE])k);
    k[n][AT_LN_PROTON] = f[AT_LN_PROTON]; /* no mass: the stages' history does not enter */
#if N_ALGEBRAIC == 2
    k[n][AT_ROOT] = f[AT_ROOT];
#endif
    NAME(solve)(matrix, k[n]);
}

/* Largest error of the lanes, root mean square over the states; infinite when not to be trusted:
   amounts may not go below zero by more than an error that counts. In four sums, so that the
   processor's vectors serve. */
static double NAME(error)(const NAME(Run) *run, const REAL *after, const REAL *off)
{
    ALIGNED PLAIN sum[4] = {0}, fall[4] = {0};
    for (int i = 0; i < N_WHOLE; i += 4)
        for (int part = 0; part < 4; part++) {
            const int at = i + part;
            const PLAIN old = PLAINLY(run->y[at]), new = PLAINLY(after[at]);
            const PLAIN size = PLAIN_MAX(PLAIN_MAX(old, -old), PLAIN_MAX(new, -new));
            const PLAIN e = PLAINLY(off[at]) / (run->floor[at] + run->weight[at] * size);
            sum[part] += e * e;
            fall[part] = PLAIN_MAX(fall[part], PLAIN_MIN(run->lowest[at] - new, old - new));
        }
    const PLAIN whole = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    double most = 0.0;
    for (int lane = 0; lane < LANES; lane++) {
        for (int part = 0; part < 4; part++)
            if (LANE(fall[part], lane) > 0.0) return INFINITY;
        if (!isfinite(LANE(whole, lane))) return INFINITY;
        most = fmax(most, LANE(whole, lane));
    }
    return sqrt(most / N_STATES);
}

/* Take one step of length h from y: the new states in z, the stages in k. */
static void NAME(step)(const NAME(Run) *run, double per_step, REAL *z, REAL (*k)[N_WHOLE])
{
    ALIGNED REAL matrix[N_ENTRIES];
    const REAL(*known)[N_WHOLE] = (const REAL(*)[N_WHOLE])k;
    NAME(slopes_and_matrix)(run->y, run->derived, 4.0 * per_step, k[0], matrix);
    NAME(decompose)(matrix);
    NAME(solve)(matrix, k[0]);
    NAME(combine)(z, run->y, rodas_a[1], 1.0, 1, known);
    NAME(stage)(run, matrix, z, rodas_c[1], per_step, 1, k);
    NAME(combine)(z, run->y, rodas_a[2], 1.0, 2, known);
    NAME(stage)(run, matrix, z, rodas_c[2], per_step, 2, k);
    NAME(combine)(z, run->y, rodas_a[3], 1.0, 3, known);
    NAME(stage)(run, matrix, z, rodas_c[3], per_step, 3, k);
    NAME(combine)(z, run->y, rodas_a[4], 1.0, 4, known);
    NAME(stage)(run, matrix, z, rodas_c[4], per_step, 4, k);
    for (int i = 0; i < N_WHOLE; i++) z[i] += k[4][i];
    NAME(stage)(run, matrix, z, rodas_c[5], per_step, 5, k);
    for (int i = 0; i < N_WHOLE; i++) z[i] += k[5][i];
}

/* Report what is asked for before the end of a step, by its dense output. */
static void NAME(report_between)(NAME(Run) *run, const Members *members, double t, double next,
                                 double per_step, const REAL *z, REAL (*k)[N_WHOLE])
{
    const Program *program = run->program;
    while (run->next_out < program->n_out && program->t_out[run->next_out] < next) {
        const double x = (program->t_out[run->next_out] - t) * per_step;
        REAL at[N_WHOLE];
        for (int i = 0; i < N_WHOLE; i++) {
            REAL third = NUMBER(0.0), fourth = NUMBER(0.0);
            for (int s = 0; s < 5; s++) {
                third += rodas_dense[0][s] * k[s][i];
                fourth += rodas_dense[1][s] * k[s][i];
            }
            at[i] = run->y[i] * (1.0 - x) + x * (z[i] + (1.0 - x) * (third + x * fourth));
        }
        NAME(report)(run, members, at);
    }
}

/* Integrate to the end of a segment; outputs that fall strictly inside are reported. */
static int NAME(segment)(NAME(Run) *run, const Members *members, double t, double end)
{
    const Program *program = run->program;
    ALIGNED REAL k[STAGES][N_WHOLE] = {0}, z[N_WHOLE];
    double h = fmin(run->start, end - t);
    double old_h = 0.0, old_error = 0.0;
    int after_rejection = 0;
    while (t < end) {
        if (run->steps + run->rejected >= program->max_steps) return TOO_MANY_STEPS;
        if (h < 1e-14 * fmax(1.0, fabs(t))) return STEP_TOO_SMALL;
        const int last = t + 1.0001 * h >= end;
        /* Two equal steps to the end rather than one and a stub. */
        if (last || t + 2.0 * h > end) h = last ? end - t : 0.5 * (end - t);
        const double per_step = 1.0 / h;
        NAME(step)(run, per_step, z, k);
        const double error = NAME(error)(run, z, k[5]);
        if (!(error < 1.0)) {
            run->rejected++;
            after_rejection = 1;
            h *= isfinite(error) ? fmax(0.2, 0.9 / sqrt(sqrt(error))) : 0.2;
            continue;
        }
        const double next = last ? end : t + h;
        NAME(report_between)(run, members, t, next, per_step, z, k);
        const double safe = fmax(error, 1e-6), alone = 0.9 / sqrt(sqrt(safe));
        double grow = alone;
        if (old_h > 0.0) /* Gustafsson's prediction: the trend of the last two steps goes on */
            grow = fmin(2.0 * alone, 0.9 * (h / old_h) * sqrt(sqrt(old_error / (safe * safe))));
        else
            run->start = h * fmin(0.7 * alone, 8.0);
        grow = fmin(fmax(grow, 0.2), after_rejection ? 1.0 : 8.0);
        old_h = h;
        old_error = fmax(0.01, safe);
        after_rejection = 0;
        run->steps++;
        for (int i = 0; i < N_WHOLE; i++) run->y[i] = z[i];
        t = next;
        h = fmin(h * grow, program->max_step);
    }
    return DONE;
}
#undef STAGES
