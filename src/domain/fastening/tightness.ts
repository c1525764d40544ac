import type { Findings } from '../evaluation/findings.js';
import type { Unit } from '../quantities/units.js';
import { say } from '../quantities/wording.js';
import type { TorqueLimits } from './fastener-group.js';

/** One fastener against its limits; torques in N·m. */
interface Tightened {
  /** From 1. */
  position: number;
  torqueNm: number;
}

/** The fasteners of a set by how they stand against their limits. */
export interface Tightness {
  over: Tightened[];
  under: Tightened[];
  /** Within the tool's uncertainty of the most, or of the least. */
  perhapsOver: Tightened[];
  perhapsUnder: Tightened[];
}

/** What the words are made from. */
export interface ToldOf {
  limits: TorqueLimits;
  /** How many fasteners were told of. */
  count: number;
  /** The group is turned by an angle after the torque, which stretches the bolt. */
  isTurnedByAngle: boolean;
  /** Of the tool. */
  uncertaintyPercent: string;
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
 * Says what is wrong and what to do. A fastener that was turned too far has stretched, or its
 * thread has: it is loosened, looked at or renewed, and tightened again. It is never backed off
 * to its torque.
 *
 * Source: common practice, no published source.
 *
 * @param findings where the findings go
 */
export function tellTightness(found: Tightness, told: ToldOf, findings: Findings): void {
  const { limits, unit, uncertaintyPercent } = told;
  const least = say(limits.minNm, 'N.m', unit, 'up');
  const most = say(limits.maxNm, 'N.m', unit, 'down');
  const aim = limits.nominalNm === null ? '' : ` to ${say(limits.nominalNm, 'N.m', unit)}`;
  const wordsOf = (these: Tightened[], what: string): string =>
    `${named(these, told)} ${what}: ${torques(these, unit)}`;
  const them = (these: Tightened[]): string => (these.length === 1 ? 'it' : 'them');
  const { over, under, perhapsOver, perhapsUnder } = found;
  const again = (these: Tightened[]): string =>
    `loosen ${them(these)}, ${renewal(these, told)}, and tighten ${them(these)} again${aim} in the maker's sequence.${told.isTurnedByAngle ? ' A bolt turned by angle stretches.' : ''}`;
  if (over.length > 0)
    findings.fails.push(
      `${wordsOf(over, `${areOf(over)} over-tightened`)}, at most ${most}. Before the vehicle leaves, ${again(over)}`,
    );
  if (under.length > 0)
    findings.fails.push(
      `${wordsOf(under, `${areOf(under)} under-tightened`)}, at least ${least}. Before the vehicle leaves, tighten ${them(under)}${aim} in the maker's sequence.`,
    );
  if (perhapsOver.length > 0)
    findings.doubts.push(
      `${wordsOf(perhapsOver, 'may be over-tightened')} ±${uncertaintyPercent} %, at most ${most}. Measure again with a better tool. If ${perhapsOver.length === 1 ? 'it is' : 'they are'} over, ${again(perhapsOver)}`,
    );
  if (perhapsUnder.length > 0)
    findings.doubts.push(
      `${wordsOf(perhapsUnder, 'may be under-tightened')} ±${uncertaintyPercent} %, at least ${least}. Measure again with a better tool, or tighten ${them(perhapsUnder)}${aim} in the maker's sequence.`,
    );
}

function renewal(these: Tightened[], { isTurnedByAngle }: ToldOf): string {
  const isOne = these.length === 1;
  if (isTurnedByAngle) return isOne ? 'fit a new one' : 'fit new ones';
  return isOne
    ? 'inspect it and its thread or fit a new one'
    : 'inspect them and their threads or fit new ones';
}

function areOf(these: Tightened[]): string {
  return these.length === 1 ? 'is' : 'are';
}

function named(these: Tightened[], { count }: ToldOf): string {
  if (these.length === 1) return `Fastener ${these[0]?.position}`;
  if (these.length === count) return `All ${count} fasteners`;
  const positions = these.map(({ position }) => position);
  return `Fasteners ${positions.slice(0, -1).join(', ')} and ${positions.at(-1)}`;
}

function torques(these: Tightened[], unit: Unit): string {
  const sorted = these.map(({ torqueNm }) => torqueNm).sort((a, b) => a - b);
  const [least, most] = [say(sorted[0]!, 'N.m', unit), say(sorted.at(-1)!, 'N.m', unit)];
  return least === most ? least : `${least} to ${most}`;
}
