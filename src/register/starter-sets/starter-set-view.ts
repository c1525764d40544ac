import type { SheetValue } from '../../domain/evaluation/starter-mark.js';
import type { StarterSet, Stated } from '../../domain/starters/starter-set.js';
import { starterName, starterPurpose } from '../../domain/starters/terms.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import { intervalShown } from '../interval-plans/interval-plan-columns.js';
import { sheetShown } from '../spec-sheets/spec-sheet-columns.js';
import { pointerOf } from '../spec-sheets/starter-values.js';
import { sheetRow } from './starter-rows.js';
import type { StarterSetView } from './starter-set.dto.js';

/** Shows a set before it is taken. */
export function starterSetView(set: StarterSet, nameOf: (set: StarterSet) => string): StarterSetView {
  const { code, circuits, intervals, leftOut, cautions } = set;
  return {
    set: code,
    name: shownMessage(starterName(code)),
    purpose: shownMessage(starterPurpose(code)),
    specSheet: sheetShown(sheetRow(set, { fleetId: '', id: '', name: nameOf(set) })),
    values: circuits.flatMap(({ values }, place) =>
      Object.entries(values).map(([name, { basis, why }]: [string, Stated<unknown>]) => ({
        pointer: pointerOf(name as SheetValue, place),
        basis: shownMessage(basis),
        why: shownMessage(why),
      })),
    ),
    intervals: intervals.map(({ rule, basis, why }) => ({
      interval: intervalShown(rule),
      basis: shownMessage(basis),
      why: shownMessage(why),
    })),
    leftOut: shownMessages(leftOut),
    cautions: shownMessages(cautions),
  };
}
