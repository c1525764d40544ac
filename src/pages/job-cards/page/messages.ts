import { messages } from '../../../domain/message.js';

const YES_NO = ['yes', 'no'] as const;
const METHOD = ['vacuum', 'pressure'] as const;
const VERDICT = ['pass', 'fail', 'inconclusive'] as const;
const DUE_STATE = ['window', 'due', 'late', 'none'] as const;
const ALERT_STATUS = ['raised', 'acknowledged', 'shelved', 'cleared'] as const;
/** What the mechanic fills in. */
const BLANK = [
  ...(['strength', 'below', 'out', 'cold', 'start', 'end', 'minutes', 'in', 'distance', 'hottest'] as const),
  'time',
] as const;

export const message = messages({
  // The head.
  'card-page-title': { unit: 'text' },
  'card-page-date': { date: 'text' },
  'card-page-no-sheet': {},
  'card-page-in-circuit': { circuit: 'message', what: 'text' },
  'card-page-step-with-caution': { what: 'text', caution: 'text' },
  'card-page-ready-mixed': { percent: 'number' },
  'card-page-own-container': { circuit: 'message' },
  'card-page-hold-test-in-circuit': { circuit: 'message' },
  'card-page-sheet-circuit': { sheet: 'text', circuit: 'text' },
  'card-page-mounted-on': { unit: 'text' },
  'card-page-carries': { units: 'list' },
  'card-page-carries-more': { units: 'text', more: 'number' },
  'card-page-nothing-due': {},
  'card-page-no-depot': {},
  'card-page-depot': { depot: 'text', elevation: 'text' },
  'card-page-depot-no-elevation': { depot: 'text' },
  'card-page-no-usage': {},
  'card-page-usage': { counters: 'text', stale: YES_NO },

  // Headings.
  'card-page-released': {},
  'card-page-why': {},
  'card-page-faults': { isActive: YES_NO },
  'card-page-steps': {},
  'card-page-parts': {},
  'card-page-coolant': {},
  'card-page-torques': {},
  'card-page-hold-test': {},
  'card-page-belts': {},
  'card-page-belt-tension': { isNew: ['yes', 'no'] },
  'card-page-deflection-at': { deflection: 'text', force: 'text' },
  'card-page-at-least': { least: 'text' },
  'card-page-at-most': { most: 'text' },
  'card-page-visit': {},
  'card-page-due-anyway': {},
  'card-page-alerts': {},
  'card-page-readings': {},
  'card-page-held': {},
  'card-page-missing': {},
  'card-page-more-rows': { count: 'number' },

  // Rows.
  'card-page-hot-day': { date: 'text', highest: 'text', alarm: 'text' },
  'card-page-keep-parked': { what: 'text', until: 'text' },
  'card-page-fault': { code: 'text', meaning: 'text' },
  'card-page-fault-state': { state: ['active', 'gone'], date: 'text' },
  'card-page-due-state': { state: DUE_STATE },
  'card-page-due-state-on': { state: DUE_STATE, date: 'text' },
  'card-page-which-part': { fastener: 'text' },
  'card-page-range': { least: 'text', most: 'text' },
  'card-page-torque-turned': { torque: 'text', angle: 'text' },
  'card-page-hold-target': {
    ...{ method: METHOD, proof: YES_NO, limit: ['sea', 'never', 'none'] },
    amount: 'text',
  },
  'card-page-greatest-vacuum': {},
  'card-page-hold-loss': {},
  'card-page-belt': { belt: 'text', ribs: 'number', length: 'text' },
  'card-page-no-designation': {},
  'card-page-alert': { kind: 'message', returned: YES_NO },
  'card-page-alert-status': { status: ALERT_STATUS, date: 'text' },
  'card-page-verdict': { verdict: VERDICT, open: YES_NO, date: 'text' },
  'card-page-passed': { readings: 'text' },

  // Coolant.
  'card-page-kind-of-coolant': { base: 'message', technology: 'text' },
  'card-page-no-technology': { base: 'message' },
  'card-page-strength': { percent: 'number' },
  'card-page-concentrate': { first: YES_NO },
  'card-page-water': { after: YES_NO },
  'card-page-premix': { percent: 'number', ends: YES_NO, endsAt: 'number' },
  'card-page-if-flushed': {},
  'card-page-adjust': { pour: ['concentrate', 'water'] },
  'card-page-holds': { capacity: 'text' },
  'card-page-holds-and-stays': { capacity: 'text' },
  'card-page-boils-open': {},
  'card-page-boils': { cap: 'text' },
  'card-page-freeze-point': { date: 'text' },
  'card-page-freeze-point-value': {
    value: 'text',
    verdict: ['pass', 'fail', 'inconclusive', 'none'],
  },
  'card-page-freeze-point-strength': {
    ...{ value: 'text', percent: 'number' },
    verdict: ['pass', 'fail', 'inconclusive', 'none'],
  },

  // Blanks to fill in, and the foot.
  'card-page-tick': {},
  'card-page-blank': { what: BLANK },
  'card-page-sign': { what: ['person', 'date', 'hours', 'odometer', 'notes'] },
  'card-page-basis': { entries: 'text' },
});
