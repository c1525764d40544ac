import type { StarterCircuitValues, StarterSet } from '../../domain/starters/starter-set.js';
import { IntervalPlan } from '../../entities/interval-plan.entity.js';
import { type CircuitSpec, type SpecCircuit, SpecSheet } from '../../entities/spec-sheet.entity.js';
import { givenValues } from '../spec-sheets/starter-values.js';
import { FROM_NO_SET } from '../starter-mark/starter-mark.js';

/** What a new row needs besides the set. */
export interface NewRow {
  fleetId: string;
  id: string;
  name: string;
}

/** The spec sheet of a set, as it is stored. */
export function sheetRow({ code, circuits, hoses }: StarterSet, row: NewRow): SpecSheet {
  const [first, ...others] = circuits;
  const specs = {
    ...circuitSpec(first.values),
    otherCircuits: others.map(({ circuit, values }): SpecCircuit => ({ circuit, ...circuitSpec(values) })),
  };
  return Object.assign(new SpecSheet(), {
    ...{ ...row, version: 1, ...FROM_NO_SET, starterSet: code },
    ...specs,
    ...{ circuit: first.circuit, circuitNote: null, fasteners: [], belts: [], hoses: [...hoses] },
    starterValues: givenValues(specs),
  });
}

/** The interval plan of a set, as it is stored. */
export function planRow({ code, intervals }: StarterSet, row: NewRow): IntervalPlan {
  return Object.assign(new IntervalPlan(), {
    ...{ ...row, version: 1, ...FROM_NO_SET, starterSet: code },
    intervals: intervals.map(({ rule }) => rule),
  });
}

/** Of what is not stated nothing is known. */
function circuitSpec(values: StarterCircuitValues): CircuitSpec {
  return {
    coolantBase: values.coolantBase.value,
    coolantTechnology: values.coolantTechnology.value,
    capacityL: values.capacityL.value,
    drainableL: null,
    targetStrengthPercent: values.targetStrengthPercent?.value ?? null,
    strengthMaxPercent: values.strengthMaxPercent?.value ?? null,
    capRatingKpa: values.capRatingKpa?.value ?? null,
    ...{ maxTestPressureKpa: null, thermostatOpensC: null, highTemperatureAlarmC: null, minToMaxL: null },
    additive: null,
    coolantCondition: values.coolantCondition?.value ?? null,
    holdTestMethod: values.holdTestMethod?.value ?? null,
    holdTestTargetKpa: null,
    holdTestMinutes: values.holdTestMinutes?.value ?? null,
    holdTestAllowedLossKpa: values.holdTestAllowedLossKpa?.value ?? null,
    ...{ parts: [], labour: null },
  };
}
