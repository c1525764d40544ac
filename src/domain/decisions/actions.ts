import type { DecisionKind } from './decisions.js';

/** What somebody can do about a matter. */
export const DECISION_ACTIONS = [
  'job-card',
  'report-job',
  'measure',
  'triage',
  'dismiss',
  'plan-visit',
  'postpone',
  'acknowledge',
  'shelve',
  'clear',
  'accept',
  'discard',
  'read-report',
  'read-visit',
  'pick-list',
  'cancel-visit',
] as const;
export type DecisionAction = (typeof DECISION_ACTIONS)[number];

/**
 * The actions that fit a matter, the most usual first. Nothing here settles a failed safety
 * reading: only work and a passed test do.
 *
 * Source: common practice, no published source.
 *
 * @example actionsFor('held-reading') // ['accept', 'discard']
 */
export function actionsFor(kind: DecisionKind): readonly DecisionAction[] {
  return FITTING[kind];
}

const FITTING: Readonly<Record<DecisionKind, readonly DecisionAction[]>> = {
  'released-with-findings': ['job-card', 'report-job'],
  'at-once': ['job-card', 'report-job', 'plan-visit', 'postpone'],
  defect: ['triage', 'dismiss', 'job-card'],
  late: ['job-card', 'report-job', 'plan-visit', 'postpone'],
  'loss-alert': ['job-card', 'acknowledge', 'shelve', 'clear'],
  'failed-report': ['read-report', 'job-card', 'measure'],
  'held-reading': ['accept', 'discard'],
  visit: ['read-visit', 'job-card', 'pick-list', 'cancel-visit'],
};
