import { Temporal } from 'temporal-polyfill';
import { measure } from '../../quantities/measures.js';
import { told } from '../../quantities/told.js';
import { partTerm } from '../../intervals/terms.js';
import type { Message } from '../../message.js';
import { isPartOfBiggerJob } from '../balance/circuit-work.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { JobFact, JobLine, LossEvidence } from '../facts/types.js';
import { spanBetween, type UsagePoint } from '../facts/usage-span.js';
import { message } from '../messages.js';
import type { Finding, Rule } from './rule.js';

interface Replacement {
  job: JobFact;
  point: UsagePoint;
}

interface ReturnState {
  /** The last replacement of each component and item. */
  last: ReadonlyMap<string, Replacement>;
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

/** A part that came back too soon. */
interface EarlyReturn {
  line: JobLine;
  before: Replacement;
  computed: Finding['computed'];
}

function judge(
  line: JobLine,
  before: Replacement,
  now: Replacement,
  { settings: { earlyReturn: limit } }: WatchContext,
): EarlyReturn | null {
  const span = spanBetween(before.point, now.point);
  if (now.point.ms > monthsLater(before.point.ms, limit.months)) return null;
  if ((span.km !== null && span.km > limit.km) || (span.hours !== null && span.hours > limit.hours))
    return null;
  if (!isUnexpected(line, now.job)) return null;
  const computed = {
    component: line.component,
    item: line.item,
    failed: line.failed,
    days: span.days,
    distance: span.km === null ? null : measure('distance', span.km),
    engineHours: span.hours === null ? null : measure('engine-hours', span.hours),
  };
  return { line, before, computed };
}

function isReplacementOf(line: JobLine, other: JobLine): boolean {
  return line.action === 'replace' && line.component === other.component && line.item === other.item;
}

function evidenceOf(job: JobFact, [line]: readonly JobLine[], shown: Message): LossEvidence {
  const computed = {
    component: line?.component ?? null,
    item: line?.item ?? null,
    lot: line?.lot ?? null,
    partNumber: line?.partNumber ?? null,
    failed: line?.failed ?? null,
  };
  return { factId: job.id, kind: 'job', at: job.at, message: shown, computed };
}

/** The earlier jobs, each once with the parts of it that came back. */
function earlierEvidence(returns: readonly EarlyReturn[]): LossEvidence[] {
  const byJob = new Map<JobFact, JobLine[]>();
  for (const { line, before } of returns) {
    const earlier = before.job.lines.find((other) => isReplacementOf(other, line)) ?? line;
    byJob.set(before.job, [...(byJob.get(before.job) ?? []), earlier]);
  }
  return [...byJob].map(([job, lines]) =>
    evidenceOf(
      job,
      lines,
      message('loss-part-replaced', {
        parts: lines.map(partTerm),
        known: job.isBaseline ? 'before' : 'on-record',
      }),
    ),
  );
}

function returnEvidence(job: JobFact, returns: readonly EarlyReturn[]): LossEvidence {
  const lines = returns.map(({ line }) => line);
  const failed = lines.filter((line) => line.failed).map(partTerm);
  const early = lines.filter((line) => !line.failed).map(partTerm);
  const why = early.length === 0 ? 'failed' : failed.length === 0 ? 'early' : 'both';
  return evidenceOf(job, lines, message('loss-part-replaced-again', { why, failed, early }));
}

function findingOf(now: JobFact, returns: readonly EarlyReturn[], context: WatchContext): Finding | null {
  const [first] = returns;
  if (first === undefined) return null;
  const { months, km, hours } = context.settings.earlyReturn;
  const distance = told('distance', km, 'km');
  return {
    evidence: [...earlierEvidence(returns), returnEvidence(now, returns)],
    computed: { ...first.computed, parts: returns.map(({ line }) => line.component) },
    basis: [message('basis-loss-early-return', { months, distance, hours })],
  };
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
    const returns: EarlyReturn[] = [];
    for (const line of job.lines) {
      if (line.action !== 'replace') continue;
      const part = JSON.stringify([line.component, line.item]);
      const before = state.last.get(part);
      if (before !== undefined && !job.isBaseline) {
        const returned = judge(line, before, now, context);
        if (returned !== null) returns.push(returned);
      }
      last.set(part, now);
    }
    return { state: { last }, finding: findingOf(job, returns, context) };
  },

  restart: (state) => state,
};
