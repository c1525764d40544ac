import type { Findings } from '../evaluation/findings.js';
import { told } from '../quantities/told.js';
import { roundedToRead } from '../quantities/rounding.js';
import { MEASURES } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { asTyped } from '../quantities/wording.js';
import type { TorqueLimits } from './fastener-group.js';
import { message } from './messages.js';

/** One fastener against its limits; torques in N·m. */
interface Tightened {
  /** From 1. */
  position: number;
  torqueNm: number;
}

/** The fasteners of a set, grouped by how they compare with their limits. */
export interface Tightness {
  over: Tightened[];
  under: Tightened[];
  /** Within the tool's uncertainty of the most, or of the least. */
  perhapsOver: Tightened[];
  perhapsUnder: Tightened[];
}

/** Further values for the texts, besides the torques. */
export interface ToldOf {
  limits: TorqueLimits;
  /** Number of fasteners reported. */
  count: number;
  /** The group is turned by an angle after the torque, which stretches the bolt. */
  isTurnedByAngle: boolean;
  /** Of the tool. */
  uncertaintyPercent: number;
  unit: Unit;
}

/**
 * Sorts torques by their limits, with a guard band of the tool's uncertainty on both sides (JCGM
 * 106).
 *
 * @param torquesNm N·m
 * @param guardPercent of each torque; 0 for simple acceptance
 * @example tightnessOf([11, 15], { nominalNm: 11, minNm: 9.9, maxNm: 12.1, basis: [] }, 0).over // [{ position: 2, torqueNm: 15 }]
 */
export function tightnessOf(
  torquesNm: readonly number[],
  { minNm, maxNm }: TorqueLimits,
  guardPercent: number,
): Tightness {
  const found: Tightness = { over: [], under: [], perhapsOver: [], perhapsUnder: [] };
  const noise = 1e-9 * maxNm;
  torquesNm.forEach((torqueNm, index) => {
    const guardNm = (torqueNm * guardPercent) / 100;
    const tightened = { position: index + 1, torqueNm };
    if (torqueNm - guardNm > maxNm + noise) found.over.push(tightened);
    else if (torqueNm + guardNm < minNm - noise) found.under.push(tightened);
    else if (torqueNm + guardNm > maxNm + noise) found.perhapsOver.push(tightened);
    else if (torqueNm - guardNm < minNm - noise) found.perhapsUnder.push(tightened);
  });
  return found;
}

/**
 * Tells which fasteners are not as tight as they should be, and what to do. A fastener that was
 * turned too far has stretched, or its thread has. It is loosened, inspected or replaced, and
 * tightened again; it is never backed off to its torque.
 *
 * Source: common practice, no published source.
 *
 * @param findings where the findings go
 */
export function tellTightness(found: Tightness, of: ToldOf, findings: Findings): void {
  const { over, under, perhapsOver, perhapsUnder } = found;
  const percent = of.uncertaintyPercent;
  if (over.length > 0) findings.fails.push(message('torque-set-over-tightened', above(over, of)));
  if (under.length > 0) findings.fails.push(message('torque-set-under-tightened', below(under, of)));
  if (perhapsOver.length > 0)
    findings.doubts.push(message('torque-set-maybe-over-tightened', { ...above(perhapsOver, of), percent }));
  if (perhapsUnder.length > 0)
    findings.doubts.push(
      message('torque-set-maybe-under-tightened', { ...below(perhapsUnder, of), percent }),
    );
}

function above(these: Tightened[], of: ToldOf) {
  return {
    ...theseTold(these, of),
    most: told('torque', of.limits.maxNm, of.unit, 'down'),
    isTurnedByAngle: of.isTurnedByAngle ? 'yes' : 'no',
  } as const;
}

function below(these: Tightened[], of: ToldOf) {
  return { ...theseTold(these, of), least: told('torque', of.limits.minNm, of.unit, 'up') };
}

function theseTold(these: Tightened[], { count, limits, unit }: ToldOf) {
  const torquesNm = these.map(({ torqueNm }) => torqueNm);
  const [lowestNm, highestNm] = [Math.min(...torquesNm), Math.max(...torquesNm)];
  return {
    which: these.length === 1 ? 'one' : these.length === count ? 'all' : 'some',
    positions: these.map(({ position }) => String(position)),
    count,
    torques: readAlike(lowestNm, highestNm, unit) ? 'alike' : 'range',
    lowest: told('torque', lowestNm, unit),
    highest: told('torque', highestNm, unit),
    isAimKnown: limits.nominalNm === null ? 'no' : 'yes',
    aim: told('torque', limits.nominalNm ?? limits.minNm, unit),
  } as const;
}

/** Whether two torques look the same in every unit that a reader may see. */
function readAlike(oneNm: number, otherNm: number, typed: Unit): boolean {
  const { canonical, us, si } = MEASURES.torque;
  return [typed, us, si].some((unit) => {
    const [one, other] = [oneNm, otherNm].map((nm) => asTyped(nm, canonical, unit));
    return (
      roundedToRead(one!.value, one!.unit, 'nearest') === roundedToRead(other!.value, other!.unit, 'nearest')
    );
  });
}
