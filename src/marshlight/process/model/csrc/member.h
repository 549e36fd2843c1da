/* One member while it runs: what it is made of, its acid-base equilibrium, its reports. */

/* Arrays over the states are filled up with zeros to whole vectors of four. */
#undef N_WHOLE
#define N_WHOLE ((N_STATES + 3) / 4 * 4)

typedef struct {
    const Program *program;
    REAL settings[N_SETTINGS];
    REAL derived[N_DERIVED];
    ALIGNED REAL y[N_WHOLE];
    /* A step's error is judged against floor + weight * size, all in the states' own units. */
    ALIGNED double floor[N_WHOLE], weight[N_WHOLE], lowest[N_WHOLE];
    long next_out;
    double start; /* step to begin a segment with: the last one's, as its first error would have it */
    long steps, rejected;
} NAME(Run);

static REAL NAME(load)(const double *from, long stride, long index)
{
    REAL value = NUMBER(0.0);
#if defined(KIND_TANGENT)
    value = from[2 * index] + from[2 * index + 1] * I;
    (void)stride;
#elif defined(KIND_LANES)
    for (int lane = 0; lane < LANES; lane++) value[lane] = from[lane * stride + index];
#else
    value = from[index];
    (void)stride;
#endif
    return value;
}

static void NAME(store)(double *to, long stride, long index, REAL value)
{
#if defined(KIND_TANGENT)
    to[2 * index] = creal(value);
    to[2 * index + 1] = cimag(value);
    (void)stride;
#elif defined(KIND_LANES)
    for (int lane = 0; lane < LANES; lane++) to[lane * stride + index] = value[lane];
#else
    to[index] = value;
    (void)stride;
#endif
}

static REAL NAME(bounded)(REAL x, double bound)
{
#if defined(KIND_TANGENT)
    return creal(x) > bound ? bound : creal(x) < -bound ? -bound : x;
#elif defined(KIND_LANES)
    for (int lane = 0; lane < LANES; lane++)
        x[lane] = x[lane] > bound ? bound : x[lane] < -bound ? -bound : x[lane];
    return x;
#else
    return x > bound ? bound : x < -bound ? -bound : x;
#endif
}

static double NAME(largest)(REAL x)
{
    double most = 0.0;
    for (int lane = 0; lane < LANES; lane++) {
        const double size = fabs(LANE(x, lane));
        if (isnan(size)) return size; /* one lane that is no number spoils its group */
        if (size > most) most = size;
    }
    return most;
}

/* Bring pH (and ionic strength) into equilibrium with the amounts by a damped Newton iteration.
   Three more rounds after convergence let a tangent settle too. */
static int NAME(equilibrate)(NAME(Run) *run)
{
    REAL g[N_ALGEBRAIC], dg[N_ALGEBRAIC * N_ALGEBRAIC];
    int settled = 0;
    for (int round = 0; round < 200; round++) {
        NAME(algebra)(run->y, run->derived, g, dg);
#if N_ALGEBRAIC == 2
        const REAL determinant = dg[0] * dg[3] - dg[1] * dg[2];
        REAL first = (g[0] * dg[3] - dg[1] * g[1]) / determinant;
        REAL second = (dg[0] * g[1] - g[0] * dg[2]) / determinant;
        second = NAME(bounded)(second, 0.1);
        run->y[AT_ROOT] -= second;
#else
        REAL first = g[0] / dg[0];
#endif
        first = NAME(bounded)(first, 1.0);
        run->y[AT_LN_PROTON] -= first;
        double change = NAME(largest)(first);
#if N_ALGEBRAIC == 2
        change = fmax(change, NAME(largest)(second));
        for (int lane = 0; lane < LANES; lane++)
            if (LANE(run->y[AT_ROOT], lane) < 0.0) run->y[AT_ROOT] = NUMBER(0.1);
#endif
        if (!isfinite(change)) return NOT_FINITE;
        if (change < 1e-12 && ++settled == 3) return DONE;
    }
    return NO_EQUILIBRIUM;
}

static void NAME(report)(NAME(Run) *run, const Members *members, const REAL *y)
{
    const Program *program = run->program;
    REAL seen[N_OBSERVABLES];
    NAME(observe)(y, run->derived, seen);
    const long row = run->next_out * program->n_watched;
    const long stride = program->n_out * program->n_watched;
    for (long i = 0; i < program->n_watched; i++) {
        const int which = program->watched[i];
        const REAL value = which < N_STATES ? y[which] : seen[which - N_STATES];
        NAME(store)(members->out, stride, row + i, value);
    }
    run->next_out++;
}
