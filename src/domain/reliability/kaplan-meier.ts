import { Z95 } from '../statistics/normal.js';
import type { Life } from './lives.js';

/** A step of the survival curve, at an age at which parts failed. */
export interface SurvivalStep {
  age: number;
  /** Parts that were watched and had held up to this age, and how many of them failed at it. */
  atRisk: number;
  failed: number;
  /** Share that survives this age, with 95 % limits; no limits where nothing survives. */
  survival: number;
  low: number | null;
  high: number | null;
}

/**
 * Kaplan–Meier estimate of the share of parts that survive an age: no law is assumed. Limits (95 %)
 * by Greenwood's variance on the scale of ln(−ln S), which keeps them between 0 and 1. A part
 * counts as at risk from its entry to its age; at one age failures come before the rest.
 *
 * Source: Kaplan & Meier (1958), J. Amer. Statist. Assoc. 53, 457; Greenwood (1926); Kalbfleisch &
 * Prentice, The Statistical Analysis of Failure Time Data (2nd ed. 2002), section 1.4.
 *
 * @example kaplanMeier([{ age: 2, entry: 0, failed: true, count: 1 }, { age: 3, entry: 0, failed: false, count: 1 }])[0].survival // 0.5
 */
export function kaplanMeier(lives: readonly Life[]): SurvivalStep[] {
  const failedAt = new Map<number, number>();
  for (const { age, failed, count } of lives) if (failed) failedAt.set(age, (failedAt.get(age) ?? 0) + count);
  const ages = [...failedAt.keys()].sort((a, b) => a - b);
  const ended = counter(lives.map(({ age, count }) => ({ at: age, count })));
  const entered = counter(lives.map(({ entry, count }) => ({ at: entry, count })));
  let survival = 1;
  let greenwood = 0;
  return ages.map((age): SurvivalStep => {
    const failed = failedAt.get(age)!;
    const atRisk = entered(age) - ended(age);
    survival *= 1 - failed / atRisk;
    greenwood += failed / (atRisk * (atRisk - failed));
    if (!(survival > 0)) return { age, atRisk, failed, survival: 0, low: null, high: null };
    const spread = (Z95 * Math.sqrt(greenwood)) / Math.log(survival);
    return {
      age,
      atRisk,
      failed,
      survival,
      low: survival ** Math.exp(-spread),
      high: survival ** Math.exp(spread),
    };
  });
}

/** Counts the values before an age. Call it with ascending ages. */
function counter(events: { at: number; count: number }[]): (age: number) => number {
  const sorted = events.sort((a, b) => a.at - b.at);
  let next = 0;
  let total = 0;
  return (age) => {
    while (next < sorted.length && sorted[next]!.at < age) total += sorted[next++]!.count;
    return total;
  };
}
