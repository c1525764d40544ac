import type { MeasuredCondition } from '../../domain/coolant-condition/inhibitor-limits.js';
import type { CardSheet } from '../../domain/job-card/job-card.js';
import type { CardFreezePoint } from './card/card-coolant.dto.js';
import type { JobCardRow } from './job-card.queries.js';

/** The spec sheet in the form that the domain needs for a card. Null when the vehicle has none. */
export function sheetOf(row: JobCardRow): CardSheet | null {
  if (row.sheetId === null || row.base === null || row.capacityL === null) return null;
  const { base, technology, capacityL, drainableL, targetStrengthPercent, capRatingKpa } = row;
  return {
    coolant: { base, technology, capacityL, drainableL, targetStrengthPercent },
    capRatingKpa,
    holdTest: {
      procedureMethod: row.holdTestMethod,
      targetKpa: row.holdTestTargetKpa,
      allowedLossKpa: row.holdTestAllowedLossKpa,
      allowedMinutes: row.holdTestMinutes,
      capRatingKpa,
      maxTestPressureKpa: row.maxTestPressureKpa,
    },
    additive: {
      additive: row.additive,
      capacityL,
      coolant: {
        technology,
        heavyDuty: row.coolantCondition?.heavyDuty ?? null,
        wetLiners: row.coolantCondition?.wetLiners ?? null,
        limits: row.coolantCondition ?? {},
      },
    },
    fasteners: row.fasteners ?? [],
    belts: row.belts ?? [],
    parts: row.parts ?? [],
  };
}

/**
 * The values of the latest inhibitor reading. Null when there is none, or its test strip was
 * expired or the wrong one.
 */
export function conditionOf({ condition }: JobCardRow): MeasuredCondition | null {
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
export function freezePointOf(row: JobCardRow): CardFreezePoint | null {
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
