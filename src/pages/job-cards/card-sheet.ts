import { starterValuesOf } from '../../domain/evaluation/starter-mark.js';
import type { MeasuredCondition } from '../../domain/coolant-condition/inhibitor-limits.js';
import type { CardSheet } from '../../domain/job-card/job-card.js';
import type { CoolantTechnology } from '../../domain/coolant/coolant.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { CircuitSpec } from '../../entities/spec-sheet.entity.js';
import type { CoolantState } from './coolant-state.queries.js';
import type { CardFreezePoint } from './card/card-coolant.dto.js';
import type { CardContentRow } from './job-card.queries.js';

/** The first circuit of the spec sheet as the domain needs it for a card. Null without a sheet. */
export function sheetOf(row: CardContentRow): CardSheet | null {
  if (row.sheetId === null || row.base === null || row.capacityL === null) return null;
  const shared = { fasteners: row.fasteners ?? [], belts: row.belts ?? [] };
  return {
    ...circuitSheet({
      coolantBase: row.base,
      coolantTechnology: row.technology,
      capacityL: row.capacityL,
      drainableL: row.drainableL,
      targetStrengthPercent: row.targetStrengthPercent,
      capRatingKpa: row.capRatingKpa,
      maxTestPressureKpa: row.maxTestPressureKpa,
      holdTestMethod: row.holdTestMethod,
      holdTestTargetKpa: row.holdTestTargetKpa,
      holdTestMinutes: row.holdTestMinutes,
      holdTestAllowedLossKpa: row.holdTestAllowedLossKpa,
      additive: row.additive,
      coolantCondition: row.coolantCondition,
      parts: row.parts ?? [],
    }),
    ...shared,
    isStarter: starterValuesOf(row.starterValues ?? [], null).length > 0,
  };
}

/** Another circuit of the spec sheet. Null if it does not list the circuit. */
export function otherSheetOf(row: CardContentRow, circuit: CircuitName): CardSheet | null {
  const spec = row.otherCircuits?.find((other) => other.circuit === circuit);
  if (spec === undefined) return null;
  // A belt drives nothing in another circuit than the first.
  const isStarter = starterValuesOf(row.starterValues ?? [], circuit).length > 0;
  return { ...circuitSheet(spec), fasteners: row.fasteners ?? [], belts: [], isStarter };
}

type OnSheet = Omit<
  CircuitSpec,
  'strengthMaxPercent' | 'thermostatOpensC' | 'highTemperatureAlarmC' | 'minToMaxL' | 'labour'
>;

function circuitSheet(spec: OnSheet): Omit<CardSheet, 'fasteners' | 'belts' | 'isStarter'> {
  const { capacityL, drainableL, targetStrengthPercent, capRatingKpa, coolantCondition } = spec;
  const technology = spec.coolantTechnology as CoolantTechnology | null;
  return {
    coolant: { base: spec.coolantBase, technology, capacityL, drainableL, targetStrengthPercent },
    capRatingKpa,
    holdTest: {
      procedureMethod: spec.holdTestMethod,
      targetKpa: spec.holdTestTargetKpa,
      allowedLossKpa: spec.holdTestAllowedLossKpa,
      allowedMinutes: spec.holdTestMinutes,
      capRatingKpa,
      maxTestPressureKpa: spec.maxTestPressureKpa,
    },
    conductivityMaxUsPerCm: coolantCondition?.conductivityMaxUsPerCm ?? null,
    additive: {
      additive: spec.additive,
      capacityL,
      coolant: {
        technology,
        heavyDuty: coolantCondition?.heavyDuty ?? null,
        wetLiners: coolantCondition?.wetLiners ?? null,
        limits: coolantCondition ?? {},
      },
    },
    parts: spec.parts,
  };
}

/**
 * The values of the latest inhibitor reading. Null when there is none, or its test strip was
 * expired or the wrong one.
 */
export function conditionOf({ condition }: CoolantState): MeasuredCondition | null {
  if (condition === null) return null;
  const findings = Array.isArray(condition.findings) ? condition.findings : [];
  if (findings.includes('strip-expired') || findings.includes('wrong-strip')) return null;
  const measured = (name: keyof MeasuredCondition): number | null => {
    const value = condition[name];
    return typeof value === 'number' ? value : null;
  };
  return {
    pH: measured('pH'),
    nitriteMgPerL: measured('nitriteMgPerL'),
    molybdateMgPerL: measured('molybdateMgPerL'),
    scaUnitsPerGallon: measured('scaUnitsPerGallon'),
    reserveAlkalinityMl: measured('reserveAlkalinityMl'),
  };
}

/** The latest freeze point of the coolant that is now in the system. */
export function freezePointOf(row: CoolantState): CardFreezePoint | null {
  if (row.freezePointAt === null || row.freezePointEvaluation === null) return null;
  const { verdict, computed } = row.freezePointEvaluation;
  return {
    takenAt: row.freezePointAt.toISOString(),
    freezePoint: (computed.freezePoint ?? null) as CardFreezePoint['freezePoint'],
    strengthVolumePercent: (computed.strengthVolumePercent ?? null) as number | null,
    method: (row.freezePointTyped?.method ?? null) as string | null,
    verdict: verdict as CardFreezePoint['verdict'],
  };
}
