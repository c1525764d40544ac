import type { VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { coolantSoFar } from './coolant-so-far.js';
import type { Occasion } from './occasion.js';
import type { Surroundings } from './recording.queries.js';

/**
 * What the readings of an occasion are judged against: the spec sheet, the place, and what is known
 * about the coolant.
 */
export function contextOf(occasion: Occasion, s: Surroundings, history: VehicleHistory): ReadingContext {
  return {
    coolant:
      s.sheet_id === null
        ? null
        : {
            base: s.coolant_base,
            technology: s.coolant_technology,
            capacityL: s.capacity_l,
            drainableL: s.drainable_l,
            targetStrengthPercent: s.target_strength_percent,
            strengthMaxPercent: s.strength_max_percent,
            capRatingKpa: s.cap_rating_kpa,
            maxTestPressureKpa: s.max_test_pressure_kpa,
            thermostatOpensC: s.thermostat_opens_c,
            highTemperatureAlarmC: s.high_temperature_alarm_c,
            minToMaxL: s.min_to_max_l,
            additive: s.additive,
          },
    holdTest: {
      method: s.hold_test_method,
      targetKpa: s.hold_test_target_kpa,
      minutes: s.hold_test_minutes,
      allowedLossKpa: s.hold_test_allowed_loss_kpa,
    },
    fasteners: s.fasteners ?? [],
    belts: s.belts ?? [],
    conditionLimits: s.coolant_condition,
    heavyDuty: s.coolant_condition?.heavyDuty ?? null,
    wetLiners: s.coolant_condition?.wetLiners ?? null,
    takenOn: civilDateAt(occasion.at.getTime(), fleetScope().timeZone),
    elevationM: occasion.elevationM ?? (s.worked_at_found ? s.worked_at_elevation_m : s.depot_elevation_m),
    designLowTemperatureC: s.design_low_temperature_c ?? s.depot_low_temperature_c,
    ...coolantSoFar(occasion, history),
    practice: s.practice,
  };
}
