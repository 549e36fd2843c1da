/* One run of one model in one working type: included once for each pair.

   Method: RODAS of Hairer & Wanner (1996), six stages, order 4(3), stiffly accurate, made for
   index-1 differential-algebraic equations, with its dense output of order 3. */

typedef struct {
    const Program *program;
    REAL settings[N_SETTINGS];
    REAL derived[N_DERIVED];
    REAL y[N_STATES];
    double floor[N_STATES]; /* error floor in the states' own units, times rtol */
    long next_out;
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

static REAL NAME(liquid_volume)(const NAME(Run) *run)
{
#if HAS_VOLUME
    return run->y[AT_VOLUME];
#else
    return run->settings[SETTING_VOLUME];
#endif
}

#if HAS_VOLUME
static int NAME(take_liquid)(NAME(Run) *run, REAL amount, const int *kind)
{
    REAL contents[N_ELEMENTS * N_STATES];
    for (int i = 0; i < N_ELEMENTS * N_STATES; i++) contents[i] = NUMBER(0.0);
    NAME(contents)(run->derived, contents);
    const REAL share = amount / run->y[AT_VOLUME];
    for (int lane = 0; lane < LANES; lane++)
        if (!(LANE(share, lane) < 1.0)) return TOO_LITTLE_LIQUID;
    for (int i = 0; i < N_STATES; i++) {
        if (kind[i] != 1) continue;
        const REAL taken = share * run->y[i];
        run->y[i] -= taken;
        for (int e = 0; e < N_ELEMENTS; e++)
            run->y[AT_FIRST_DRAINED + e] += contents[e * N_STATES + i] * taken;
    }
    run->y[AT_VOLUME] -= amount;
    run->y[AT_FIRST_DRAINED + N_ELEMENTS] += amount;
    return DONE;
}

/* Keep the share of the gas and let that share of air in; both count as outflow. */
static void NAME(exchange_gas)(NAME(Run) *run, REAL kept, REAL nitrogen, REAL oxygen)
{
    for (int gas = 0; gas < N_GASES; gas++) {
        const REAL before = run->y[AT_FIRST_GAS + gas];
        REAL after = kept * before;
        if (gas == GAS_NITROGEN) after += nitrogen;
        if (gas == GAS_OXYGEN) after += oxygen;
        run->y[AT_FIRST_GAS + gas] = after;
        run->y[AT_FIRST_OUT + gas] += before - after;
    }
}

static int NAME(change_gas)(NAME(Run) *run, int kind, REAL amount)
{
    REAL seen[N_OBSERVABLES];
    const REAL zero = NUMBER(0.0);
    NAME(observe)(run->y, run->derived, seen);
    const REAL space = seen[OBSERVABLE_GAS_SPACE];
    const REAL rigid = space - seen[OBSERVABLE_HOLDER];
    const REAL vapour = seen[OBSERVABLE_PRESSURE] - seen[OBSERVABLE_DRY];
    const REAL thermal = 0.083145 * (run->settings[SETTING_TEMPERATURE] + 273.15);
    if (kind == OP_TAKE_GAS) {
        const REAL share = amount / space;
        for (int lane = 0; lane < LANES; lane++)
            if (!(LANE(share, lane) < 1.0)) return TOO_LITTLE_GAS;
        NAME(exchange_gas)(run, 1.0 - share, zero, zero);
        return DONE;
    }
    REAL present = zero;
    for (int gas = 0; gas < N_GASES; gas++) present += run->y[AT_FIRST_GAS + gas];
    if (kind == OP_VENT) {
        /* The holder collapses first; nothing flows when the pressure is already lower. */
        const REAL target = (amount - vapour) * rigid / (thermal * present);
        NAME(exchange_gas)(run, MIN(target, NUMBER(1.0)), zero, zero);
        return DONE;
    }
    const REAL atmosphere = run->settings[SETTING_ATMOSPHERE];
    const REAL air = amount * (atmosphere - vapour) * rigid / thermal;
    NAME(exchange_gas)(run, 1.0 - amount, AIR_NITROGEN * air, AIR_OXYGEN * air);
    return DONE;
}
#endif

static int NAME(apply)(NAME(Run) *run, const Members *members, long segment, const int *kind)
{
    const Program *program = run->program;
    for (long op = 0; op < program->n_operations; op++) {
        if (program->op_segment[op] != segment) continue;
        const REAL amount = NUMBER(program->op_amount[op]);
        int status = DONE;
        if (program->op_kind[op] == OP_ADD) {
            const long from = (long)program->op_vector[op] * N_STATES;
            for (int i = 0; i < N_STATES; i++)
                run->y[i] += amount * NAME(load)(members->vectors, members->vectors_stride, from + i);
        }
#if HAS_VOLUME
        else if (program->op_kind[op] == OP_TAKE_LIQUID)
            status = NAME(take_liquid)(run, amount, kind);
        else
            status = NAME(change_gas)(run, program->op_kind[op], amount);
#else
        (void)kind;
#endif
        if (status != DONE) return status;
    }
    return DONE;
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

#define STAGES 6
/* Combine stages: to = y + sum of weights * k. */
static inline void NAME(combine)(REAL *to, const REAL *y, const double *weights, int n,
                                 REAL k[STAGES][N_STATES])
{
    for (int i = 0; i < N_STATES; i++) to[i] = y[i];
    for (int s = 0; s < n; s++)
        for (int i = 0; i < N_STATES; i++) to[i] += weights[s] * k[s][i];
}

static inline void NAME(right_side)(REAL *b, const double *weights, int n, double per_step,
                                    REAL k[STAGES][N_STATES])
{
    const REAL ln_proton = b[AT_LN_PROTON];
#if N_ALGEBRAIC == 2
    const REAL root = b[AT_ROOT];
#endif
    for (int s = 0; s < n; s++) {
        const double weight = weights[s] * per_step;
        for (int i = 0; i < N_STATES; i++) b[i] += weight * k[s][i];
    }
    b[AT_LN_PROTON] = ln_proton; /* no mass: the stages' history does not enter */
#if N_ALGEBRAIC == 2
    b[AT_ROOT] = root;
#endif
}

/* Largest error of the lanes, root mean square over the states; infinite when not to be trusted. */
static double NAME(error)(const NAME(Run) *run, const REAL *after, const REAL *off,
                          const double *relative, const int *kind)
{
    double sum[LANES];
    int bad = 0;
    const double rtol = run->program->rtol;
    for (int lane = 0; lane < LANES; lane++) sum[lane] = 0.0;
    for (int i = 0; i < N_STATES; i++) {
        const double weight = rtol * relative[i];
        for (int lane = 0; lane < LANES; lane++) {
            const double old = LANE(run->y[i], lane), new = LANE(after[i], lane);
            const double size = fmax(fabs(old), fabs(new));
            const double e = LANE(off[i], lane) / (run->floor[i] + weight * size);
            sum[lane] += e * e;
            /* Amounts may not go below zero by more than an error that counts. */
            bad |= (kind[i] == 1 || kind[i] == 2) & (new < -10.0 * run->floor[i]) & (new < old);
        }
    }
    double most = 0.0;
    for (int lane = 0; lane < LANES; lane++) {
        bad |= !isfinite(sum[lane]);
        most = fmax(most, sum[lane]);
    }
    return bad ? INFINITY : sqrt(most / N_STATES);
}

/* Integrate to the end of a segment; outputs that fall strictly inside are reported. */
static int NAME(segment)(NAME(Run) *run, const Members *members, double t, double end,
                         const double *relative, const int *kind)
{
    static const double a[6][5] = {{0},
                                   {1.544},
                                   {0.9466785280815826, 0.2557011698983284},
                                   {3.314825187068521, 2.896124015972201, 0.9986419139977817},
                                   {1.221224509226641, 6.019134481288629, 12.53708332932087,
                                    -0.6878860361058950},
                                   {1.221224509226641, 6.019134481288629, 12.53708332932087,
                                    -0.6878860361058950, 1.0}};
    static const double c[6][5] = {{0},
                                   {-5.6688},
                                   {-2.430093356833875, -0.2063599157091915},
                                   {-0.1073529058151375, -9.594562251023355, -20.47028614809616},
                                   {7.496443313967647, -10.24680431464352, -33.99990352819905,
                                    11.70890893206160},
                                   {8.083246795921522, -7.981132988064893, -31.52159432874371,
                                    16.31930543123136, -6.058818238834054}};
    static const double dense[2][5] = {{10.12623508344586, -7.487995877610167, -34.80091861555747,
                                        -7.992771707568823, 1.025137723295662},
                                       {-0.6762803392801253, 6.087714651680015, 16.43084320892478,
                                        24.76722511418386, -6.594389125716872}};
    const Program *program = run->program;
    REAL matrix[N_ENTRIES], f0[N_STATES], k[STAGES][N_STATES], z[N_STATES];
    double h = fmin(program->first_step, end - t);
    double old_h = 0.0, old_error = 0.0;
    int after_rejection = 0;
    while (t < end) {
        if (run->steps + run->rejected >= program->max_steps) return TOO_MANY_STEPS;
        if (h < 1e-14 * fmax(1.0, fabs(t))) return STEP_TOO_SMALL;
        const int last = t + 1.0001 * h >= end;
        if (last) h = end - t;
        const double per_step = 1.0 / h;
        NAME(slopes_and_matrix)(run->y, run->derived, 4.0 * per_step, f0, matrix);
        NAME(decompose)(matrix);
        for (int i = 0; i < N_STATES; i++) k[0][i] = f0[i];
        NAME(solve)(matrix, k[0]);
        for (int s = 1; s < STAGES; s++) {
            NAME(combine)(z, run->y, a[s], s, k);
            NAME(slopes)(z, run->derived, k[s]);
            NAME(right_side)(k[s], c[s], s, per_step, k);
            NAME(solve)(matrix, k[s]);
        }
        for (int i = 0; i < N_STATES; i++) z[i] += k[5][i];
        const double error = NAME(error)(run, z, k[5], relative, kind);
        if (!(error < 1.0)) {
            run->rejected++;
            after_rejection = 1;
            h *= isfinite(error) ? fmax(0.2, 0.9 / sqrt(sqrt(error))) : 0.2;
            continue;
        }
        const double next = last ? end : t + h;
        while (run->next_out < program->n_out && program->t_out[run->next_out] < next) {
            const double x = (program->t_out[run->next_out] - t) * per_step;
            REAL at[N_STATES];
            for (int i = 0; i < N_STATES; i++) {
                REAL third = NUMBER(0.0), fourth = NUMBER(0.0);
                for (int s = 0; s < 5; s++) {
                    third += dense[0][s] * k[s][i];
                    fourth += dense[1][s] * k[s][i];
                }
                at[i] = run->y[i] * (1.0 - x) + x * (z[i] + (1.0 - x) * (third + x * fourth));
            }
            NAME(report)(run, members, at);
        }
        const double safe = fmax(error, 1e-6);
        double grow = 0.9 / sqrt(sqrt(safe));
        if (old_h > 0.0) grow = fmin(grow, 0.9 * (h / old_h) * sqrt(sqrt(old_error / (safe * safe))));
        grow = fmin(fmax(grow, 0.2), after_rejection ? 1.0 : 8.0);
        old_h = h;
        old_error = fmax(0.01, safe);
        after_rejection = 0;
        run->steps++;
        for (int i = 0; i < N_STATES; i++) run->y[i] = z[i];
        t = next;
        h = fmin(h * grow, program->max_step);
    }
    return DONE;
}

static int NAME(run)(const Program *program, const Members *members, const double *floors,
                     const double *relative, const int *kind)
{
    NAME(Run) run;
    double t = program->start;
    int status = DONE;
    long segment = 0;
    run.program = program;
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
            run.floor[i] = program->rtol * floors[i] * (kind[i] == 3 ? 1.0 : volume);
        while (run.next_out < program->n_out && program->t_out[run.next_out] <= t)
            NAME(report)(&run, members, run.y);
        if (program->segment_end[segment] > t)
            status = NAME(segment)(&run, members, t, program->segment_end[segment], relative, kind);
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
#undef STAGES
