import type { components } from '../../../../typescript/src/client.js';
import { messages } from '../../../../../src/domain/message.js';
import { tell } from '../texts/tell.js';
import { dayInWords } from '../texts/dates.js';
import { message } from './messages.js';

export type DueLine = components['schemas']['DueLineItem'];
export type DueState = DueLine['state'];

/** In the order in which they press. */
export const DUE_STATES: readonly DueState[] = ['late', 'due', 'window', 'not-due', 'no-baseline'];

export const COMPONENTS = [
  ...['coolant', 'water-pump', 'drive-belt', 'tensioner', 'idler', 'thermostat', 'radiator', 'radiator-cap'],
  ...['upper-hose', 'lower-hose', 'heater-hose', 'bypass-hose', 'hose-clamp', 'fan-drive', 'fan-shroud'],
  ...['reservoir', 'heater-core', 'coolant-filter', 'oil-cooler', 'egr-cooler', 'head-gasket'],
  ...['electric-coolant-pump', 'chiller', 'coolant-heater', 'coolant-valve', 'degas-bottle', 'fan-clutch'],
  ...['injector-sleeve', 'timing-belt', 'temperature-sensor', 'other'],
] as const satisfies DueLine['component'][];

export const ACTIONS = [
  ...['inspect', 'test', 'adjust', 'clean', 'flush', 'replace', 'recheck'],
] as const satisfies DueLine['action'][];

/** Found unsafe by a reading, and not put off to a later day. */
export const isToDoAtOnce = ({ atOnce, state }: DueLine): boolean => atOnce && state !== 'window';

/** The state of a line, and whether it is to be done at once. */
export function stateInWords(line: DueLine): string {
  const state = tell(message(`page-state-${line.state}`));
  return isToDoAtOnce(line) ? tell(message('page-state-at-once', { state })) : state;
}

export const dueDayInWords = ({ dueOn }: DueLine): string =>
  dueOn === null ? tell(message('page-no-date')) : dayInWords(dueOn);

/** Terms of the trade, whose codes the rules declare. */
const term = messages({
  'part-with-item': { component: 'text', item: 'text' },
  'part-in-circuit': { part: 'text', circuit: 'text' },
  'work-on-part': { part: 'text', action: 'text' },
});
const named = (code: string): string => tell({ code, values: {} });

export const componentInWords = (component: DueLine['component']): string => named(`component-${component}`);

export const actionInWords = (action: DueLine['action']): string => named(`action-${action}`);

/** `drive belt (accessory): replace` */
export function workInWords({
  component,
  action,
  item,
  circuit,
}: Pick<DueLine, 'component' | 'action' | 'item' | 'circuit'>): string {
  const part = componentInWords(component);
  const withItem = item ? tell(term('part-with-item', { component: part, item })) : part;
  const inCircuit = circuit
    ? tell(term('part-in-circuit', { part: withItem, circuit: named(`circuit-${circuit}`) }))
    : withItem;
  return tell(term('work-on-part', { part: inCircuit, action: actionInWords(action) }));
}
