import { workTerm } from '../../../../../../src/domain/intervals/terms.js';
import {
  type Action,
  ACTIONS,
  type Component,
  COMPONENTS,
} from '../../../../../../src/domain/intervals/types.js';
import type { CircuitName } from '../../../../../../src/domain/vehicles/circuits.js';
import { tell } from '../../../kit/texts/tell.js';
import { nameOf } from '../../record-form/labels.js';
import type { Choices, Draft } from '../../record-form/shape.js';

const isOf = <T extends string>(all: readonly T[], value: string | undefined): value is T =>
  (all as readonly (string | undefined)[]).includes(value);

/** What an entry is called by the work that it is about: `drive belt (accessory): replace`. */
export function workOf({ typed: { component, action, item, circuit } }: Draft): string {
  if (!isOf<Component>(COMPONENTS, component) || !isOf<Action>(ACTIONS, action)) return '';
  const named = circuit ? (circuit as CircuitName) : null;
  return tell(workTerm({ component, action, item: item?.trim() || null, circuit: named }));
}

/** What an entry is called by what was chosen; nothing where nothing was. */
export const titledBy = (choices: Choices, chosen: string | undefined): string =>
  chosen ? nameOf(choices, chosen) : '';
