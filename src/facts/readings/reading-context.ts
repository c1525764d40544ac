import type { VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import type { CoolantTechnology } from '../../domain/coolant/coolant.js';
import { starterValuesOf } from '../../domain/evaluation/starter-mark.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { coolantSoFar } from './coolant-so-far.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { CircuitSpec } from '../../entities/spec-sheet.entity.js';
import type { Occasion } from './occasion.js';
import type { Surroundings } from './recording.queries.js';

/**
 * What the readings of an occasion in one circuit are judged against: its part of the spec sheet,
 * the place, and what is known about its coolant.
 *
 * @param circuit null: the first
 */
export function contextOf(
  occasion: Occasion,
  s: Surroundings,
  history: VehicleHistory,
  circuit: CircuitName | null,
): ReadingContext {
  return {
    ...specContext(circuit === null ? firstSpec(s) : otherSpec(s, circuit)),
    fasteners: s.fasteners ?? [],
    belts: s.belts ?? [],
    takenOn: civilDateAt(occasion.at.getTime(), fleetScope().timeZone),
    elevationM: occasion.elevationM ?? (s.worked_at_found ? s.worked_at_elevation_m : s.depot_elevation_m),
    designLowTemperatureC: s.design_low_temperature_c ?? s.depot_low_temperature_c,
    ...coolantSoFar(occasion, history, circuit),
    ...starterValuesIn(s, circuit),
    practice: s.practice,
  };
}

/** Left out of what is stored with a reading where there are none. */
function starterValuesIn(
  { starter_values }: Surroundings,
  circuit: CircuitName | null,
): Pick<ReadingContext, 'starterValues'> {
  const starterValues = starterValuesOf(starter_values ?? [], circuit);
  return starterValues.length === 0 ? {} : { starterValues };
}

type JudgedBy = Omit<CircuitSpec, 'parts' | 'labour'>;

function firstSpec(s: Surroundings): JudgedBy | null {
  if (s.sheet_id === null || s.coolant_base === null || s.capacity_l === null) return null;
  return {
    coolantBase: s.coolant_base,
    coolantTechnology: s.coolant_technology,
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
    coolantCondition: s.coolant_condition,
    holdTestMethod: s.hold_test_method,
    holdTestTargetKpa: s.hold_test_target_kpa,
    holdTestMinutes: s.hold_test_minutes,
    holdTestAllowedLossKpa: s.hold_test_allowed_loss_kpa,
  };
}

/** Nothing is known of a circuit that the sheet no longer lists. */
function otherSpec({ other_circuits }: Surroundings, circuit: CircuitName): JudgedBy | null {
  return other_circuits?.find((other) => other.circuit === circuit) ?? null;
}

function specContext(spec: JudgedBy | null): ReadingContext {
  return {
    coolant: spec && {
      base: spec.coolantBase,
      technology: spec.coolantTechnology as CoolantTechnology | null,
      capacityL: spec.capacityL,
      drainableL: spec.drainableL,
      targetStrengthPercent: spec.targetStrengthPercent,
      strengthMaxPercent: spec.strengthMaxPercent,
      capRatingKpa: spec.capRatingKpa,
      maxTestPressureKpa: spec.maxTestPressureKpa,
      thermostatOpensC: spec.thermostatOpensC,
      highTemperatureAlarmC: spec.highTemperatureAlarmC,
      minToMaxL: spec.minToMaxL,
      additive: spec.additive,
    },
    holdTest: {
      method: spec?.holdTestMethod ?? null,
      targetKpa: spec?.holdTestTargetKpa ?? null,
      minutes: spec?.holdTestMinutes ?? null,
      allowedLossKpa: spec?.holdTestAllowedLossKpa ?? null,
    },
    conditionLimits: spec?.coolantCondition ?? null,
    heavyDuty: spec?.coolantCondition?.heavyDuty ?? null,
    wetLiners: spec?.coolantCondition?.wetLiners ?? null,
  };
}
