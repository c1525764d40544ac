import type { JobFact, JobLine } from '../facts/types.js';

/** Parts that hold or move coolant; opening one lets coolant out. The belt drive and fan do not. */
const CIRCUIT_PARTS = new Set([
  'water-pump',
  'thermostat',
  'radiator',
  'radiator-cap',
  'upper-hose',
  'lower-hose',
  'heater-hose',
  'bypass-hose',
  'hose-clamp',
  'reservoir',
  'heater-core',
  'coolant-filter',
  'oil-cooler',
  'egr-cooler',
  'head-gasket',
  'injector-sleeve',
  'temperature-sensor',
  'other',
]);

/**
 * How much has to come apart for a part: a smaller one is often renewed along with a bigger one,
 * and hoses come off for access to anything (common practice).
 */
const LABOUR_RANK: Record<string, number> = {
  'timing-belt': 3,
  'head-gasket': 3,
  'water-pump': 2,
  radiator: 2,
  'heater-core': 2,
  'oil-cooler': 2,
  'egr-cooler': 2,
  'injector-sleeve': 2,
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
  return CIRCUIT_PARTS.has(line.component) && (line.action === 'replace' || line.action === 'adjust');
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
 * Whether a job let coolant out, so that the level known before says nothing of the level after.
 */
export function opensCircuit(job: JobFact): boolean {
  return (
    changesCoolant(job) ||
    job.lines.some(
      (line) => isRepairLine(line) || (CIRCUIT_PARTS.has(line.component) && line.action === 'clean'),
    )
  );
}

/** Whether a line was done on the occasion of a bigger one in the same job. */
export function isPartOfBiggerJob(line: JobLine, job: JobFact): boolean {
  return job.lines.some((other) => other.action === 'replace' && rankOf(other) > rankOf(line));
}
