import type { CoolantAdditive } from '../../domain/coolant-condition/additive-dose.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { type LabourRules, PREPARATIONS } from '../../domain/visits/labour-hours.js';
import type { CircuitSpec } from '../../entities/spec-sheet.entity.js';
import type { AdditiveSpec } from './coolant-spec.dto.js';
import type { Shown } from './spec-sheet-belts.js';
import type { CircuitSpecInput } from './spec-sheet.dto.js';

/** What a posted sheet says of one circuit, as it is stored. */
export function circuitStored({ coolant, holdTest, parts, labour }: CircuitSpecInput): CircuitSpec {
  return {
    coolantBase: coolant.base,
    coolantTechnology: coolant.technology ?? null,
    capacityL: canonicalOf('volume', coolant.capacity) as number,
    drainableL: canonicalOf('volume', coolant.drainable),
    targetStrengthPercent: coolant.targetStrengthPercent ?? null,
    strengthMaxPercent: coolant.strengthMax ?? null,
    capRatingKpa: canonicalOf('pressure', coolant.capRating),
    maxTestPressureKpa: canonicalOf('pressure', coolant.maxTestPressure),
    thermostatOpensC: canonicalOf('temperature', coolant.thermostatOpens),
    highTemperatureAlarmC: canonicalOf('temperature', coolant.highTemperatureAlarm),
    minToMaxL: canonicalOf('volume', coolant.litresMinToMax),
    additive: coolant.additive ? additiveOf(coolant.additive) : null,
    coolantCondition: coolant.condition ? { ...coolant.condition } : null,
    holdTestMethod: holdTest?.method ?? null,
    holdTestTargetKpa: canonicalOf('pressure', holdTest?.target),
    holdTestMinutes: holdTest?.minutes ?? null,
    holdTestAllowedLossKpa: canonicalOf('pressure', holdTest?.allowedLoss),
    parts: (parts ?? []).map(({ component, description, quantity, partNumber }) => ({
      component,
      description: description.trim(),
      quantity: quantity ?? 1,
      partNumber: partNumber?.trim() ?? null,
    })),
    labour: labourRulesOf(labour),
  };
}

/** What a sheet says of one circuit, as it is shown. */
export function circuitShown(spec: CircuitSpec, shown: Shown): CircuitSpecInput {
  // In US units, a vacuum is shown in inHg and a pressure in psi.
  const testMeasure = spec.holdTestMethod === 'vacuum' ? 'vacuum' : 'pressure';
  return {
    coolant: {
      base: spec.coolantBase,
      technology: spec.coolantTechnology as CircuitSpecInput['coolant']['technology'],
      capacity: shown('volume', spec.capacityL) as Quantity,
      drainable: shown('volume', spec.drainableL),
      targetStrengthPercent: spec.targetStrengthPercent,
      strengthMax: spec.strengthMaxPercent,
      capRating: shown('pressure', spec.capRatingKpa),
      maxTestPressure: shown('pressure', spec.maxTestPressureKpa),
      thermostatOpens: shown('temperature', spec.thermostatOpensC),
      highTemperatureAlarm: shown('temperature', spec.highTemperatureAlarmC),
      litresMinToMax: shown('volume', spec.minToMaxL),
      additive: spec.additive && additiveShown(spec.additive, shown),
      condition: spec.coolantCondition,
    },
    holdTest: spec.holdTestMethod && {
      method: spec.holdTestMethod,
      target: shown(testMeasure, spec.holdTestTargetKpa),
      minutes: spec.holdTestMinutes,
      allowedLoss: shown(testMeasure, spec.holdTestAllowedLossKpa),
    },
    parts: spec.parts as CircuitSpecInput['parts'],
    labour: labourOf(spec.labour),
  };
}

function additiveOf({ product, amount, treats, ...raises }: AdditiveSpec): CoolantAdditive {
  return {
    product: product?.trim() ?? null,
    amount: { value: amount.value, unit: amount.unit },
    treatsL: canonicalOf('volume', treats) as number,
    raisesScaUnitsPerGallon: raises.raisesScaUnitsPerGallon ?? null,
    raisesNitriteMgPerL: raises.raisesNitriteMgPerL ?? null,
    raisesMolybdateMgPerL: raises.raisesMolybdateMgPerL ?? null,
  };
}

/** Amounts printed on the bottle keep the bottle's unit for every reader. */
function additiveShown({ treatsL, ...bottle }: CoolantAdditive, shown: Shown): AdditiveSpec {
  return { ...bottle, treats: shown('volume', treatsL) as Quantity };
}

function labourRulesOf(labour: CircuitSpecInput['labour']): LabourRules | null {
  if (!labour) return null;
  return {
    preparations: Object.fromEntries(
      (labour.preparations ?? []).map(({ preparation, hours }) => [preparation, hours]),
    ),
    lines: (labour.lines ?? []).map(({ component, action, hours, preparations }) => ({
      component,
      action,
      hours,
      preparations: preparations ?? null,
    })),
  };
}

function labourOf(labour: LabourRules | null): CircuitSpecInput['labour'] {
  if (labour === null) return null;
  const { preparations, lines } = labour;
  return {
    preparations: PREPARATIONS.flatMap((preparation) => {
      const hours = preparations?.[preparation];
      return hours === undefined ? [] : [{ preparation, hours }];
    }),
    lines: (lines ?? []).map(({ preparations: needed, ...line }) => ({
      ...line,
      preparations: needed ? [...needed] : null,
    })),
  };
}
