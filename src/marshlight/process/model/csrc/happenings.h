/* What happens between segments: liquid and gas put in and taken out. */

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
