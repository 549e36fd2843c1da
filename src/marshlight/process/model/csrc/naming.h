/* Every function of a kernel carries its model and working type in its name. */
#define PASTE2(a, b) a##_##b
#define PASTE(a, b) PASTE2(a, b)
#define NAME(x) PASTE(PREFIX, x)

/* Dry air as nitrogen and oxygen, argon counted as nitrogen; their places among the gases. */
#define AIR_NITROGEN 0.7905
#define AIR_OXYGEN 0.2095
#define GAS_NITROGEN 3
#define GAS_OXYGEN 4
