import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, type Findings, noFindings } from '../evaluation/findings.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure } from '../quantities/measures.js';
import { requirePositive } from '../quantities/plausible.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { type FastenerGroup, type TorqueLimits, torqueLimits } from './fastener-group.js';
import { message } from './messages.js';
import { tellTightness, type Tightness, tightnessOf } from './tightness.js';
import { unitSlip } from './unit-slip.js';

export const TORQUE_SOURCES = ['setting', 'measured'] as const;
export type TorqueSource = (typeof TORQUE_SOURCES)[number];

/**
 * The fasteners of one group as tightened. Either `valuesNm`, or `setToNm` with how many were
 * tightened to it.
 */
export interface TorqueSetReading {
  kind: 'torque-set';
  /** The group's name on the spec sheet; empty for a set without one. */
  fastener: string;
  /** The torque unit that was typed. */
  unit: Unit;
  valuesNm?: readonly number[] | null;
  setToNm?: number | null;
  count?: number | null;
  /** The wrench's setting (default), or a measured torque. */
  source?: TorqueSource | null;
  toolUncertaintyPercent?: number | null;
}

/**
 * Uncertainty of a torque tool, as a share of the reading.
 *
 * Source: ISO 6789, permissible deviation: ±4 %, ±6 % for tools up to 10 N·m.
 *
 * @param torqueNm N·m
 * @returns %
 * @example toolUncertaintyPercent(9) // 6
 */
export function toolUncertaintyPercent(torqueNm: number): number {
  return torqueNm <= 10 ? 6 : 4;
}

/**
 * Judges a set of fasteners: each within its limits and none missing. A wrench's setting is taken
 * as it is (simple acceptance); a measured torque gets a guard band of its tool's uncertainty (JCGM
 * 106).
 *
 * @param reading N·m
 * @param group the fastener group from the spec sheet, N·m; null when unknown
 * @returns verdict null without a torque to judge by; computed: `torques`, `outside` (positions
 * from 1), `overTightened` (those of them above the most), `missing` (null when the count is
 * unknown)
 * @throws ImpossibleValue for more values than fasteners, values that are not above zero, or
 *   neither values nor a setting with its count.
 * @example evaluateTorqueSet({ kind: 'torque-set', fastener: 'pump', unit: 'N.m', setToNm: 11, count: 9 }, { name: 'pump', count: 9, torqueNm: 11 }).verdict // 'pass'
 */
export function evaluateTorqueSet(
  reading: TorqueSetReading,
  group: FastenerGroup | null,
  practice: CommonPractice = COMMON_PRACTICE,
): Evaluation {
  const torquesNm = torquesOf(reading);
  const expected = group?.count ?? null;
  if (expected !== null) requireNoMoreThan(expected, torquesNm, reading);
  const limits = group === null ? null : torqueLimits(group, practice, reading.unit);
  const findings = noFindings();
  const missing = expected === null ? null : expected - torquesNm.length;
  const isTurnedByAngle = Boolean(group?.angle);
  const judged =
    limits === null ? NOT_JUDGED : judgeTorques(reading, torquesNm, limits, isTurnedByAngle, findings);
  if (expected !== null && missing !== null && missing > 0) tellMissing(missing, expected, findings);
  if (group?.angle) findings.remarks.push(message('torque-set-then-angle', { angle: group.angle }));
  const { tightness } = judged;
  return {
    ...concludeOn(reading, torquesNm, limits, findings),
    computed: {
      torques: torquesNm.map((torqueNm) => measure('torque', torqueNm)),
      outside: positionsOf(tightness.over, tightness.under),
      overTightened: positionsOf(tightness.over),
      missing,
    },
    cautions: cautionsFor('fastening'),
    basis: [...(limits?.basis ?? []), ...judged.basis],
  };
}

function requireNoMoreThan(
  expected: number,
  torquesNm: readonly number[],
  { fastener }: TorqueSetReading,
): void {
  if (torquesNm.length <= expected) return;
  throw new ImpossibleValue({
    field: 'values',
    value: torquesNm.length,
    limit: { max: expected },
    detail: message('torque-set-too-many', {
      torques: torquesNm.length,
      isNamed: fastener === '' ? 'no' : 'yes',
      fastener,
      expected,
    }),
  });
}

const NOT_JUDGED: { tightness: Tightness; basis: Message[] } = {
  tightness: { over: [], under: [], perhapsOver: [], perhapsUnder: [] },
  basis: [],
};

/**
 * Compares each torque with the limits. If all of them are off by one factor between units, that
 * comes first.
 */
function judgeTorques(
  reading: TorqueSetReading,
  torquesNm: readonly number[],
  limits: TorqueLimits,
  isTurnedByAngle: boolean,
  findings: Findings,
): typeof NOT_JUDGED {
  const percent =
    reading.toolUncertaintyPercent ??
    toolUncertaintyPercent(limits.nominalNm ?? torquesNm[0] ?? limits.maxNm);
  const basis = [guardBasis(reading, percent)];
  const tightness = tightnessOf(torquesNm, limits, reading.source === 'measured' ? percent : 0);
  const count = torquesNm.length;
  tellTightness(
    tightness,
    { limits, count, isTurnedByAngle, uncertaintyPercent: percent, unit: reading.unit },
    findings,
  );
  const isAllOutside = tightness.over.length + tightness.under.length === count;
  const slip = isAllOutside ? unitSlip(torquesNm, limits.minNm, limits.maxNm) : null;
  if (slip !== null) findings.fails.unshift(slip);
  return { tightness, basis };
}

function tellMissing(missing: number, expected: number, { fails }: Findings): void {
  fails.push(message('torque-set-missing', { missing, expected }));
}

/** Without a torque to judge by, only what fails all the same is a verdict. */
function concludeOn(
  { fastener, unit }: TorqueSetReading,
  torquesNm: readonly number[],
  limits: TorqueLimits | null,
  findings: Findings,
): Pick<Evaluation, 'verdict' | 'reasons'> {
  if (limits !== null) {
    const least = told('torque', limits.minNm, unit, 'up');
    const most = told('torque', limits.maxNm, unit, 'down');
    return conclude(findings, message('torque-set-within', { count: torquesNm.length, least, most }));
  }
  const { verdict, reasons } = conclude(findings, message('torque-set-not-judged', { fastener }));
  return { verdict: verdict === 'fail' ? verdict : null, reasons };
}

function positionsOf(...parts: Tightness['over'][]): number[] {
  return parts
    .flat()
    .map(({ position }) => position)
    .sort((a, b) => a - b);
}

function guardBasis({ source, toolUncertaintyPercent: given }: TorqueSetReading, percent: number): Message {
  if (source !== 'measured') return message('basis-torque-setting');
  requirePositive('toolUncertaintyPercent', percent, '%');
  return message('basis-torque-measured', { percent, source: given == null ? 'standard' : 'given' });
}

function torquesOf(reading: TorqueSetReading): number[] {
  if (reading.valuesNm != null) {
    return reading.valuesNm.map((torqueNm, index) => requirePositive('values', torqueNm, 'N·m', index));
  }
  const setToNm = reading.setToNm ?? null;
  const count = reading.count ?? null;
  if (setToNm === null || count === null) {
    throw new ImpossibleValue({ field: 'values', detail: message('torque-set-empty') });
  }
  requirePositive('setTo', setToNm, 'N·m');
  // A count beyond any group of fasteners would build a list as long.
  if (!Number.isInteger(count) || count < 0 || count > 1000) {
    const detail = message('torque-set-count-not-whole', { count: String(count) });
    throw new ImpossibleValue({
      field: 'count',
      value: count,
      limit: { whole: true, min: 0, max: 1000 },
      detail,
    });
  }
  return Array.from({ length: count }, () => setToNm);
}
