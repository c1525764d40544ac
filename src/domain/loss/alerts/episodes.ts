import { ImpossibleValue } from '../../impossible-value.js';
import type { AlertActionFact, LossAlertEpisode, LossAlertKind, LossEvidence } from '../facts/types.js';
import type { CircuitName } from '../../vehicles/circuits.js';
import { instantMs } from '../facts/usage-span.js';
import { message } from '../messages.js';
import type { Finding } from '../rules/rule.js';
import { cautionsFor, checkNextFor } from './advice.js';

function mergeEvidence(held: readonly LossEvidence[], found: readonly LossEvidence[]): LossEvidence[] {
  const known = new Set(held.map((entry) => entry.factId));
  const added = found.filter((entry) => !known.has(entry.factId));
  return [...held, ...added].sort((a, b) => instantMs(a.at) - instantMs(b.at));
}

interface Raising {
  kind: LossAlertKind;
  vehicleId: string | null;
  members?: string[];
  finding: Finding;
  raisedAt: string;
  returned: boolean;
  /** Goes between kind and fact in the key if the vehicle alone does not identify the alert. */
  subject?: string;
  /** Null or missing: the vehicle's first. */
  circuit?: CircuitName | null;
  /** Earlier episodes of the kind: facts that raised those do not name this one. */
  before: readonly LossAlertEpisode[];
}

/** A new episode, named after its first evidence that is new. */
export function raise(raising: Raising): LossAlertEpisode {
  const { kind, vehicleId, finding, raisedAt, returned, before, circuit } = raising;
  const evidence = mergeEvidence([], finding.evidence);
  const spent = new Set(before.flatMap((episode) => episode.evidence.map((entry) => entry.factId)));
  const naming = evidence.find((entry) => !spent.has(entry.factId)) ?? evidence[0];
  return {
    key: `${kind}:${raising.subject ?? (circuit ? `${circuit}:` : '')}${naming?.factId ?? ''}`,
    kind,
    ...(circuit && { circuit }),
    vehicleId,
    members: raising.members ?? [],
    status: 'raised',
    raisedAt,
    shelvedUntil: null,
    clearedAt: null,
    clearedBy: null,
    returned,
    evidence,
    computed: finding.computed,
    checkNext: checkNextFor(kind),
    cautions: cautionsFor(kind),
    basis: finding.basis,
  };
}

/**
 * An open episode with what was found since. Its key stays: it names the evidence that raised it.
 */
export function join(episode: LossAlertEpisode, finding: Finding): LossAlertEpisode {
  return {
    ...episode,
    evidence: mergeEvidence(episode.evidence, finding.evidence),
    computed: finding.computed,
    basis: finding.basis,
  };
}

/** An open episode with evidence that adds to what was found. */
export function withEvidence(episode: LossAlertEpisode, found: LossEvidence): LossAlertEpisode {
  return { ...episode, evidence: mergeEvidence(episode.evidence, [found]) };
}

export function clear(episode: LossAlertEpisode, at: string, by: 'proof' | 'manager'): LossAlertEpisode {
  return { ...episode, status: 'cleared', clearedAt: at, clearedBy: by, shelvedUntil: null };
}

/**
 * Whether an action means this episode: by its key, or by any fact of its evidence, since a fact
 * that came in late can have become the first evidence after the
 * person had acted.
 */
export function isMeant(episode: LossAlertEpisode, alertKey: string): boolean {
  if (episode.key === alertKey) return true;
  const subject = episode.key.slice(0, episode.key.lastIndexOf(':') + 1);
  return episode.evidence.some((entry) => alertKey === `${subject}${entry.factId}`);
}

/**
 * An open episode after a person acted on it.
 *
 * @throws ImpossibleValue when shelving has no end or ends before it began: nothing is shelved for
 *   good.
 */
export function act(episode: LossAlertEpisode, action: AlertActionFact): LossAlertEpisode {
  if (action.action === 'clear') return clear(episode, action.at, 'manager');
  if (action.action === 'acknowledge') return { ...episode, status: 'acknowledged', shelvedUntil: null };
  if (action.until === null || instantMs(action.until) <= instantMs(action.at)) {
    const detail =
      action.until === null
        ? message('loss-shelving-without-end', { after: action.at })
        : message('loss-shelving-ends-too-early', { until: action.until, after: action.at });
    throw new ImpossibleValue({ field: 'until', value: action.until, limit: { above: action.at }, detail });
  }
  return { ...episode, status: 'shelved', shelvedUntil: action.until };
}

/** The episode at an instant: shelving that has ended raises it again. */
export function asOfInstant(episode: LossAlertEpisode, asOf: string): LossAlertEpisode {
  if (episode.status !== 'shelved' || episode.shelvedUntil === null) return episode;
  return instantMs(episode.shelvedUntil) > instantMs(asOf)
    ? episode
    : { ...episode, status: 'raised', shelvedUntil: null };
}
