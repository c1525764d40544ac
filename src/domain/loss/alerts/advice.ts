import { cautionsFor as cautionsOfWork } from '../../cautions/cautions.js';
import type { Message } from '../../message.js';
import type { LossAlertKind } from '../facts/types.js';
import { message } from '../messages.js';

const OUTSIDE_FIRST = [
  message('loss-check-cap'),
  message('loss-check-hoses'),
  message('loss-check-weep-hole'),
  message('loss-check-radiator-and-heater'),
  message('loss-check-pressure-test'),
  message('loss-check-combustion-gas'),
];

const CHECK_NEXT: Record<LossAlertKind, readonly Message[]> = {
  'repeat-top-ups': OUTSIDE_FIRST,
  'rising-loss': OUTSIDE_FIRST,
  'unrecorded-water': [message('loss-check-water-added'), message('loss-check-strength'), ...OUTSIDE_FIRST],
  'weakening-hold': [message('loss-check-tester'), ...OUTSIDE_FIRST],
  'early-return': [
    message('loss-check-failed-part'),
    message('loss-check-belt'),
    message('loss-check-first-job'),
  ],
  'part-cohort': [
    message('loss-check-batch-vehicles'),
    message('loss-check-batch-stock'),
    message('loss-check-fitting'),
  ],
};

/** What to look at next, the outside first. */
export function checkNextFor(kind: LossAlertKind): Message[] {
  return [...CHECK_NEXT[kind]];
}

/** The safety cautions that go with an alert of a kind. */
export function cautionsFor(kind: LossAlertKind): Message[] {
  const isAboutParts = kind === 'early-return' || kind === 'part-cohort';
  return [...(isAboutParts ? [] : [message('caution-vacuum-hides-leak')]), ...cautionsOfWork('leak-search')];
}
