import type { CoolantAdditive } from '../../domain/coolant-condition/additive-dose.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { type LabourRules, PREPARATIONS } from '../../domain/visits/labour-hours.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { optionalMeasure, optionalQuantity } from '../../platform/presenting/measures.js';
import type { AdditiveSpec } from './coolant-spec.dto.js';
import { beltShown, beltStored, type Shown } from './spec-sheet-belts.js';
import type { FastenerSpec, SpecSheetInput, SpecSheetView } from './spec-sheet.dto.js';
import type { SpecFastener, SpecSheet } from '../../entities/spec-sheet.entity.js';

/** The columns in which a posted sheet is stored. */
export function columnsOf(input: SpecSheetInput) {
  const { coolant, holdTest } = input;
  return {
    name: input.name.trim(),
    circuit: input.circuit?.trim() ?? null,
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
    fasteners: (input.fasteners ?? []).map((fastener) => ({
      name: fastener.name.trim(),
      count: fastener.count,
      component: fastener.component ?? null,
      torqueNm: canonicalOf('torque', fastener.torque),
      tolerancePercent: fastener.tolerancePercent ?? null,
      minNm: canonicalOf('torque', fastener.min),
      maxNm: canonicalOf('torque', fastener.max),
      angle: fastener.angle?.trim() ?? null,
    })),
    belts: (input.belts ?? []).map(beltStored),
    hoses: (input.hoses ?? []).map((hose) => hose.trim()),
    parts: (input.parts ?? []).map(({ component, description, quantity, partNumber }) => ({
      component,
      description: description.trim(),
      quantity: quantity ?? 1,
      partNumber: partNumber?.trim() ?? null,
    })),
    labour: labourRulesOf(input.labour),
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

function labourRulesOf(labour: SpecSheetInput['labour']): LabourRules | null {
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

function labourOf({ labour }: SpecSheet): SpecSheetInput['labour'] {
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

function fastenerOf(
  { name, count, component, torqueNm, tolerancePercent, minNm, maxNm, angle }: SpecFastener,
  shown: Shown,
): FastenerSpec {
  return {
    name,
    count,
    component: (component ?? null) as FastenerSpec['component'],
    torque: shown('torque', torqueNm),
    tolerancePercent,
    min: shown('torque', minNm),
    max: shown('torque', maxNm),
    angle,
  };
}

function contentOf(sheet: SpecSheet, shown: Shown): SpecSheetInput {
  // In US units, a vacuum is shown in inHg and a pressure in psi.
  const testMeasure = sheet.holdTestMethod === 'vacuum' ? 'vacuum' : 'pressure';
  return {
    name: sheet.name,
    circuit: sheet.circuit,
    coolant: {
      base: sheet.coolantBase,
      technology: sheet.coolantTechnology as SpecSheetInput['coolant']['technology'],
      capacity: shown('volume', sheet.capacityL) as Quantity,
      drainable: shown('volume', sheet.drainableL),
      targetStrengthPercent: sheet.targetStrengthPercent,
      strengthMax: sheet.strengthMaxPercent,
      capRating: shown('pressure', sheet.capRatingKpa),
      maxTestPressure: shown('pressure', sheet.maxTestPressureKpa),
      thermostatOpens: shown('temperature', sheet.thermostatOpensC),
      highTemperatureAlarm: shown('temperature', sheet.highTemperatureAlarmC),
      litresMinToMax: shown('volume', sheet.minToMaxL),
      additive: sheet.additive && additiveShown(sheet.additive, shown),
      condition: sheet.coolantCondition,
    },
    holdTest: sheet.holdTestMethod && {
      method: sheet.holdTestMethod,
      target: shown(testMeasure, sheet.holdTestTargetKpa),
      minutes: sheet.holdTestMinutes,
      allowedLoss: shown(testMeasure, sheet.holdTestAllowedLossKpa),
    },
    fasteners: sheet.fasteners.map((fastener) => fastenerOf(fastener, shown)),
    belts: sheet.belts.map((belt) => beltShown(belt, shown)),
    hoses: sheet.hoses,
    parts: sheet.parts as SpecSheetInput['parts'],
    labour: labourOf(sheet),
  };
}

/** The record in the form in which it is posted. A patch is applied to it. */
export function inputOf(sheet: SpecSheet): SpecSheetInput {
  return contentOf(sheet, optionalQuantity);
}

export function viewOf(sheet: SpecSheet): SpecSheetView {
  return { id: sheet.id, ...contentOf(sheet, optionalMeasure), version: sheet.version };
}
