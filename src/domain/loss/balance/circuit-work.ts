import { endsKnownLevel, isCircuitPart } from '../../intervals/circuit-opening.js';
import type { Component } from '../../intervals/types.js';
import type { JobFact, JobLine } from '../facts/types.js';

/**
 * How much has to come apart for a part: a smaller one is often renewed along with a bigger one,
 * and hoses come off for access to anything (common practice).
 */
const LABOUR_RANK: Readonly<Partial<Record<Component, number>>> = {
  'timing-belt': 3,
  'head-gasket': 3,
  'water-pump': 2,
  radiator: 2,
  'heater-core': 2,
  'oil-cooler': 2,
  'egr-cooler': 2,
  'injector-sleeve': 2,
  'electric-coolant-pump': 2,
  chiller: 2,
  'coolant-heater': 2,
  'upper-hose': 0,
  'lower-hose': 0,
  'heater-hose': 0,
  'bypass-hose': 0,
  'hose-clamp': 0,
  coolant: 0,
};
const ORDINARY_RANK = 1;

function rankOf(line: JobLine): number {
  return LABOUR_RANK[line.component] ?? ORDINARY_RANK;
}

function isRepairLine(line: JobLine): boolean {
  return isCircuitPart(line.component) && (line.action === 'replace' || line.action === 'adjust');
}

/**
 * Whether a job may have stopped a leak: a part of the coolant circuit was replaced or adjusted.
 * Work done before records began proves nothing.
 */
export function isRepair(job: JobFact): boolean {
  return !job.isBaseline && job.lines.some(isRepairLine);
}

/**
 * Whether coolant was replaced or flushed, so that nothing known of its strength holds any longer.
 */
export function changesCoolant(job: JobFact): boolean {
  return job.lines.some(
    (line) => line.component === 'coolant' && (line.action === 'replace' || line.action === 'flush'),
  );
}

/**
 * Whether a job makes the level known before it worthless.
 */
export function losesKnownLevel(job: JobFact): boolean {
  return job.lines.some(endsKnownLevel);
}

/** Whether a job may have changed how tight the circuit is, for better or worse. */
export function isCoolingJob(job: JobFact): boolean {
  return losesKnownLevel(job) || job.lines.some(isRepairLine);
}

/** Whether a line was done on the occasion of a bigger one in the same job. */
export function isPartOfBiggerJob(line: JobLine, job: JobFact): boolean {
  return job.lines.some((other) => other.action === 'replace' && rankOf(other) > rankOf(line));
}
