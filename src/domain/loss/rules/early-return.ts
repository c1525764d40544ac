import { Temporal } from 'temporal-polyfill';
import { measure } from '../../quantities/measures.js';
import { sentence } from '../../quantities/sentence.js';
import { isPartOfBiggerJob } from '../balance/circuit-work.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { JobFact, JobLine, LossEvidence } from '../facts/types.js';
import { spanBetween, type UsagePoint } from '../facts/usage-span.js';
import type { Finding, Rule } from './rule.js';

interface Replacement {
  job: JobFact;
  point: UsagePoint;
}

interface ReturnState {
  /** The last replacement of each component and item. */
  last: ReadonlyMap<string, Replacement>;
}

function partName(line: JobLine): string {
  return line.item === null ? line.component : `${line.component} "${line.item}"`;
}

function monthsLater(ms: number, months: number): number {
  const start = Temporal.Instant.fromEpochMilliseconds(ms).toZonedDateTimeISO('UTC');
  return start.add({ months }).epochMilliseconds;
}

/**
 * Whether doing the part again was an early return rather than planned or taken along: see
 * `earlyReturn`.
 */
function isUnexpected(line: JobLine, job: JobFact): boolean {
  if (line.component === 'coolant') return false;
  return line.failed || (line.beforeWindow === true && !isPartOfBiggerJob(line, job));
}

function replacementEvidence(job: JobFact, line: JobLine, text: string): LossEvidence {
  const computed = {
    component: line.component,
    item: line.item,
    lot: line.lot,
    partNumber: line.partNumber,
    failed: line.failed,
  };
  return { factId: job.id, kind: 'job', at: job.at, text: sentence`${partName(line)} ${text}`, computed };
}

function judge(line: JobLine, before: Replacement, now: Replacement, context: WatchContext): Finding | null {
  const limit = context.settings.earlyReturn;
  const span = spanBetween(before.point, now.point);
  if (now.point.ms > monthsLater(before.point.ms, limit.months)) return null;
  if ((span.km !== null && span.km > limit.km) || (span.hours !== null && span.hours > limit.hours))
    return null;
  if (!isUnexpected(line, now.job)) return null;
  const earlier = before.job.lines.find((other) => isReplacementOf(other, line)) ?? line;
  return {
    evidence: [
      replacementEvidence(
        before.job,
        earlier,
        before.job.isBaseline ? 'replaced (before records began)' : 'replaced',
      ),
      replacementEvidence(
        now.job,
        line,
        line.failed ? 'replaced again: it had failed' : 'replaced again, before it was due',
      ),
    ],
    computed: {
      component: line.component,
      item: line.item,
      failed: line.failed,
      days: span.days,
      distance: span.km === null ? null : measure('distance', span.km),
      engineHours: span.hours === null ? null : measure('engine-hours', span.hours),
    },
    basis: [
      `replaced again within ${limit.months} months, ${limit.km} km and ${limit.hours} engine hours: common practice, no published source`,
    ],
  };
}

function isReplacementOf(line: JobLine, other: JobLine): boolean {
  return line.action === 'replace' && line.component === other.component && line.item === other.item;
}

/** One job can be evidence for several parts: said once, with all of them. */
function oncePerJob(evidence: readonly LossEvidence[]): LossEvidence[] {
  const byJob = new Map<string, LossEvidence>();
  for (const entry of evidence) {
    const said = byJob.get(entry.factId);
    byJob.set(
      entry.factId,
      said === undefined ? entry : { ...said, text: sentence`${said.text}; ${entry.text}` },
    );
  }
  return [...byJob.values()];
}

/**
 * A part that had to be replaced again too soon.
 *
 * Finds the same component and item replaced again within 12 months and 20,000 km (500 h),
 * whichever ends first, where the second time it had failed, or was
 * done before its window and not on the occasion of a bigger job. Coolant, and hoses that came off
 * for access, are excepted. Work from before records began can be the
 * first of the two, never the second.
 */
export const earlyReturn: Rule<ReturnState> = {
  start: { last: new Map() },

  step(state, moment, context) {
    const job = moment.fact;
    if (job.kind !== 'job' || !job.lines.some((line) => line.action === 'replace'))
      return { state, finding: null };
    const now: Replacement = { job, point: moment.point };
    const last = new Map(state.last);
    const findings: Finding[] = [];
    for (const line of job.lines) {
      if (line.action !== 'replace') continue;
      const part = JSON.stringify([line.component, line.item]);
      const before = state.last.get(part);
      if (before !== undefined && !job.isBaseline) {
        const finding = judge(line, before, now, context);
        if (finding !== null) findings.push(finding);
      }
      last.set(part, now);
    }
    const [first] = findings;
    if (first === undefined) return { state: { last }, finding: null };
    const computed = {
      ...first.computed,
      parts: findings.map((finding) => finding.computed['component'] as string),
    };
    const evidence = oncePerJob(findings.flatMap((finding) => finding.evidence));
    return { state: { last }, finding: { evidence, computed, basis: first.basis } };
  },

  restart: (state) => state,
};
