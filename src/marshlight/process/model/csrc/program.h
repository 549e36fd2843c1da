/* What a run is told: segments of fixed settings, what happens at their starts, what to report. */
#ifndef MARSHLIGHT_PROGRAM_H
#define MARSHLIGHT_PROGRAM_H

enum operation {
    OP_ADD = 0,         /* add amount * vector to the states */
    OP_TAKE_LIQUID = 1, /* take amount [m3] of mixed liquid */
    OP_TAKE_GAS = 2,    /* take amount [m3] of mixed gas, as it stands */
    OP_VENT = 3,        /* let gas out until the pressure is amount [bar] */
    OP_OPEN = 4         /* change the share amount of the gas space for air */
};

enum status {
    DONE = 0,
    STEP_TOO_SMALL = 1,
    TOO_MANY_STEPS = 2,
    NOT_FINITE = 3,
    NO_EQUILIBRIUM = 4,
    TOO_LITTLE_LIQUID = 5,
    TOO_LITTLE_GAS = 6
};

typedef struct {
    double start;
    long n_segments;
    const double *segment_end;
    long n_overrides; /* settings that change from segment to segment */
    const int *override_setting;
    const double *override_value; /* [segment][override] */
    long n_operations;
    const int *op_segment;
    const int *op_kind;
    const double *op_amount;
    const int *op_vector;
    long n_out;
    const double *t_out;
    long n_watched; /* below N_STATES a state, from there on an observable */
    const int *watched;
    double rtol;
    double first_step;
    double max_step;
    long max_steps;
} Program;

/* One member, or one group of lanes; strides are in units of the member's own type. */
typedef struct {
    const double *settings;
    const double *states;
    const double *vectors;
    long settings_stride, states_stride, vectors_stride;
    double *out; /* [member][n_out][n_watched] */
    double *end; /* [member][N_STATES] */
    long long *counts; /* [member][3]: steps, rejected, reached segment */
} Members;

#endif
