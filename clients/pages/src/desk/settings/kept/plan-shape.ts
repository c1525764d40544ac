import type { Shape } from '../../record-form/shape.js';
import { message } from './messages.js';
import { ACTION_NAMES, CIRCUIT_NAMES, COMPONENT_NAMES } from './names.js';
import { limitsInWords } from './gists.js';
import { workOf } from './titles.js';

/** How often: at least one of them. */
const LIMITS: Shape = [
  { is: 'quantity', name: 'everyDistance', measure: 'distance', label: message('desk-plan-every-distance') },
  { is: 'number', name: 'everyMonths', label: message('desk-plan-every-months') },
  {
    ...{ is: 'quantity', name: 'everyEngineHours', measure: 'engine-hours' },
    label: message('desk-plan-every-hours'),
  },
];

const FIRST = { is: 'group', name: 'first', shape: LIMITS } as const;

/** A window or a grace. */
const MARGIN: Shape = [
  { is: 'quantity', name: 'distance', measure: 'distance', label: message('desk-plan-distance') },
  { is: 'number', name: 'days', label: message('desk-plan-days') },
  { is: 'quantity', name: 'engineHours', measure: 'engine-hours', label: message('desk-plan-hours') },
];

const INTERVAL: Shape = [
  { is: 'choice', name: 'component', choices: COMPONENT_NAMES, label: message('desk-kept-component') },
  { is: 'choice', name: 'action', choices: ACTION_NAMES, label: message('desk-plan-action') },
  { is: 'text', name: 'item', label: message('desk-plan-item') },
  {
    ...{ is: 'choice', name: 'circuit', choices: CIRCUIT_NAMES, isOptional: true },
    label: message('desk-plan-circuit'),
  },
  ...LIMITS,
  {
    ...{ is: 'choice', name: 'anchor', preset: 'completion', label: message('desk-plan-anchor') },
    choices: [
      ['completion', message('desk-plan-anchor-completion')],
      ['schedule', message('desk-plan-anchor-schedule')],
    ],
  },
  { is: 'flag', name: 'beforeSeason', label: message('desk-plan-before-season') },
  { ...FIRST, label: message('desk-plan-first') },
  {
    ...{ is: 'group', name: 'severe', label: message('desk-plan-severe') },
    shape: [...LIMITS, { ...FIRST, label: message('desk-plan-severe-first') }],
  },
  { is: 'group', name: 'window', label: message('desk-plan-window'), shape: MARGIN },
  { is: 'group', name: 'grace', label: message('desk-plan-grace'), shape: MARGIN },
];

/** What an interval plan consists of. */
export const PLAN: Shape = [
  { is: 'text', name: 'name', label: message('desk-kept-name') },
  {
    ...{ is: 'list', name: 'intervals', shape: INTERVAL, titleOf: workOf, gist: limitsInWords },
    ...{ label: message('desk-plan-intervals'), add: message('desk-plan-add') },
  },
];
