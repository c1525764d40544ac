import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, type Findings, noFindings } from '../evaluation/findings.js';
import { measure } from '../quantities/measures.js';
import { requirePositive } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** What a belt that is tensioned by hand must show; from the spec sheet, null: not given. */
export interface TensionRange {
  frequencyMinHz?: number | null;
  frequencyMaxHz?: number | null;
  /** mm, at the sheet's force */
  deflectionMinMm?: number | null;
  deflectionMaxMm?: number | null;
}

/** The limits of a belt's tension. */
export interface BeltTensionLimits {
  /** For a belt that has run in. */
  inService?: TensionRange | null;
  /** For a belt that has not run yet; null: those for a belt in service. */
  newBelt?: TensionRange | null;
  /** Force applied at the middle of the span to measure the deflection, N. */
  deflectionForceN?: number | null;
  /** Mass of one metre of the belt, kg/m. */
  massKgPerM?: number | null;
}

/** The tension of a belt, measured on its longest free span. */
export interface BeltTensionReading {
  kind: 'belt-tension';
  /** The belt's name on the spec sheet. */
  item?: string | null;
  /** The belt was just fitted and has not run in. */
  newBelt?: boolean | null;
  frequencyHz?: number | null;
  deflectionMm?: number | null;
  /** Force that the deflection was measured with, N. */
  forceN?: number | null;
  spanMm?: number | null;
  /** The length unit that was typed. */
  unit?: Unit;
}

/** A force this far from the sheet's gives another deflection; common practice, no source. */
const FORCE_TOLERANCE = 0.1;

/** Rounding must not move a value past its limit. */
const SLACK = 1e-9;

/**
 * Judges the tension of a belt by the frequency at which a plucked span swings, by its deflection
 * under a force, or by both. There are no default limits: they depend on the drive.
 *
 * Source: vibrating string, T = 4·m·L²·f² (m in kg/m, L in m, f in Hz), for the tension; the limits
 * are those of the spec sheet.
 *
 * @param reading Hz, mm, N
 * @param limits of this belt on the spec sheet; null: none
 * @returns verdict null without limits; computed: `tension`, and `tautOrSlack`, 'slack', 'tight' or
 *   null
 * @throws ImpossibleValue for values that are not above zero.
 * @example evaluateBeltTension({ kind: 'belt-tension', frequencyHz: 90 }, { inService: { frequencyMinHz: 100 } }).verdict // 'fail'
 */
export function evaluateBeltTension(
  reading: BeltTensionReading,
  limits: BeltTensionLimits | null,
): Evaluation {
  requireMeasured(reading);
  const range = rangeOf(reading, limits);
  const findings = noFindings();
  const sides = range === null ? [] : judge(reading, range, limits?.deflectionForceN ?? null, findings);
  const isJudged = findings.fails.length + findings.doubts.length > 0 || sides.length > 0;
  const concluded = conclude(findings, message('belt-tension-right'));
  const tensionN = tensionOf(reading, limits?.massKgPerM ?? null);
  return {
    verdict: isJudged ? concluded.verdict : null,
    reasons: isJudged ? concluded.reasons : [message('belt-tension-no-limits')],
    computed: {
      tension: tensionN === null ? null : measure('force', tensionN),
      tautOrSlack: sides.find((side) => side !== 'right') ?? null,
    },
    cautions: cautionsFor('belt-drive'),
    basis: [
      message('basis-belt-tension-limits'),
      ...(tensionN === null ? [] : [message('basis-belt-tension-string')]),
    ],
  };
}

type Side = 'slack' | 'tight' | 'right';

function requireMeasured({ frequencyHz, deflectionMm, forceN, spanMm }: BeltTensionReading): void {
  if (frequencyHz != null) requirePositive('frequencyHz', frequencyHz, 'Hz');
  if (deflectionMm != null) requirePositive('deflection', deflectionMm, 'mm');
  if (forceN != null) requirePositive('force', forceN, 'N');
  if (spanMm != null) requirePositive('span', spanMm, 'mm');
}

function rangeOf({ newBelt }: BeltTensionReading, limits: BeltTensionLimits | null): TensionRange | null {
  return (newBelt === true ? limits?.newBelt : null) ?? limits?.inService ?? null;
}

function judge(
  reading: BeltTensionReading,
  range: TensionRange,
  sheetForceN: number | null,
  findings: Findings,
): Side[] {
  return [
    ...judgeFrequency(reading, range, findings),
    ...judgeDeflection(reading, range, sheetForceN, findings),
  ];
}

function judgeFrequency(
  { frequencyHz }: BeltTensionReading,
  { frequencyMinHz, frequencyMaxHz }: TensionRange,
  { fails }: Findings,
): Side[] {
  if (frequencyHz == null || (frequencyMinHz == null && frequencyMaxHz == null)) return [];
  if (frequencyMinHz != null && frequencyHz < frequencyMinHz * (1 - SLACK)) {
    fails.push(message('belt-tension-frequency-low', { read: frequencyHz, least: frequencyMinHz }));
    return ['slack'];
  }
  if (frequencyMaxHz != null && frequencyHz > frequencyMaxHz * (1 + SLACK)) {
    fails.push(message('belt-tension-frequency-high', { read: frequencyHz, most: frequencyMaxHz }));
    return ['tight'];
  }
  return ['right'];
}

function judgeDeflection(
  { deflectionMm, forceN, unit = 'mm' }: BeltTensionReading,
  { deflectionMinMm, deflectionMaxMm }: TensionRange,
  sheetForceN: number | null,
  { fails, doubts }: Findings,
): Side[] {
  if (deflectionMm == null || (deflectionMinMm == null && deflectionMaxMm == null)) return [];
  if (sheetForceN !== null && forceN != null && Math.abs(forceN / sheetForceN - 1) > FORCE_TOLERANCE) {
    doubts.push(
      message('belt-tension-other-force', {
        force: told('force', forceN, 'N'),
        wanted: told('force', sheetForceN, 'N'),
      }),
    );
    return [];
  }
  const read = told('size', deflectionMm, unit);
  if (deflectionMaxMm != null && deflectionMm > deflectionMaxMm * (1 + SLACK)) {
    fails.push(
      message('belt-tension-deflection-high', { read, most: told('size', deflectionMaxMm, unit, 'exact') }),
    );
    return ['slack'];
  }
  if (deflectionMinMm != null && deflectionMm < deflectionMinMm * (1 - SLACK)) {
    fails.push(
      message('belt-tension-deflection-low', { read, least: told('size', deflectionMinMm, unit, 'exact') }),
    );
    return ['tight'];
  }
  return ['right'];
}

function tensionOf({ frequencyHz, spanMm }: BeltTensionReading, massKgPerM: number | null): number | null {
  return frequencyHz == null || spanMm == null || massKgPerM === null
    ? null
    : beltTensionN(massKgPerM, spanMm, frequencyHz);
}

/**
 * Static tension of a belt span from the frequency at which it swings: T = 4·m·L²·f².
 *
 * Source: the vibrating string's fundamental, f = √(T/m)/(2·L).
 *
 * @param massKgPerM kg/m
 * @param spanMm mm
 * @param frequencyHz Hz
 * @returns N
 * @throws ImpossibleValue for values that are not above zero.
 * @example beltTensionN(0.11, 170, 220) // 615.4
 */
export function beltTensionN(massKgPerM: number, spanMm: number, frequencyHz: number): number {
  requirePositive('massPerLength', massKgPerM, 'kg/m');
  const spanM = requirePositive('span', spanMm, 'mm') / 1000;
  return 4 * massKgPerM * spanM ** 2 * requirePositive('frequencyHz', frequencyHz, 'Hz') ** 2;
}
