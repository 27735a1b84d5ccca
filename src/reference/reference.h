/* Published figures, each with its source. Tables are data: adding a size, a rating or a step is one
 * row. "from memory" and "common practice" mark figures that no published page was at hand for. */
#ifndef FAREND_REFERENCE_REFERENCE_H
#define FAREND_REFERENCE_REFERENCE_H

#include <stdbool.h>
#include <stddef.h>

#define COPPER_OHM_M          1.7241e-8   /* annealed copper, 100 % IACS, 20 C; IEC 60028 */
#define COPPER_PER_KELVIN     0.00393     /* temperature coefficient at 20 C; IEC 60028 */
#define COPPER_REFERENCE_C    20.0
#define RATING_AMBIENT_C      30.0        /* ambient of the ratings below; BS 7671 Table 4F3A */
#define ELV_TOUCH_LIMIT_V     60.0        /* ripple-free DC, dry; BS 7671 414.4.5 */

struct wire_size {
	const char *name;            /* as written in a job: "0.75 mm2", "18 AWG" */
	int gauge;                   /* AWG number, 0 for a metric size */
	double area_mm2;             /* nominal; for AWG from the ASTM B258 diameter */
	double flexible_ohm_per_m;   /* one conductor at 20 C, IEC 60228 class 5 plain; AWG: solid figure */
	double solid_ohm_per_m;      /* class 1/2 plain; below 0.5 mm2 as flexible (no published value) */
	double rating_a;             /* at 30 C ambient */
	const char *resistance_source;
	const char *rating_source;
};

/* Ordered: metric sizes from thin to thick, then gauges from thin to thick. */
extern const struct wire_size wire_sizes[];
extern const size_t wire_size_count;

#define WIRE_NONE SIZE_MAX
/* Row with that area (m2, within 0.1 %) or gauge number, or WIRE_NONE. */
size_t wire_size_by_area(double square_metres);
size_t wire_size_by_gauge(double number);

/* d = 0.127 mm * 92^((36 - n)/39), in metres. ASTM B258. */
double awg_diameter(int gauge);

/* R(T)/R(20) = 1 + 0.00393 (T - 20). */
double copper_factor(double celsius);

/* Iz(T)/Iz(30) = sqrt((Tmax - T)/(Tmax - 30)) above 30 C, 1 at or below, 0 from Tmax on. Within 0.01
 * of the ambient factors that BS 7671 publishes for 60 C and 90 C flexible cables. */
double ambient_factor(double ambient_c, double insulation_c);

/* Drivers: a plain ladder of common wattages per nominal voltage (common practice, no source). */
struct driver_step { double volts; double watts; };
extern const struct driver_step driver_steps[];
extern const size_t driver_step_count;

/* Blade and glass fuse ratings, ascending, A (ISO 8820-3 and IEC 60127 series, from memory). */
extern const double fuse_ratings[];
extern const size_t fuse_rating_count;

/* Joints at a cable's ends: both ends and both cores together. Common practice, no source. */
struct joint { const char *name; double ohm; double max_a; };   /* max_a 0: no limit stated */
extern const struct joint joints[];
extern const size_t joint_count;
#define JOINT_UNSAID_OHM 0.020

#define OVERLOAD_FACTOR 1.45         /* I2 <= 1.45 Iz; IEC 60364-4-43 433.1, the factor from memory */
#define FUSE_CLEARS_FACTOR 2.0       /* a blade fuse blows within 5 s at 2 In; ISO 8820-3 */
#define TRIP_FACTOR 1.5              /* trip_current / max_current where unsaid; common practice, no source */

/* Class 2 style limited power: 5 A up to 20 V, 100 W above 20 V up to 60 V DC.
 * NEC Chapter 9 Table 11(B), from memory. */
bool limited_power(double volts, double rated_w, double rated_a);

#endif
