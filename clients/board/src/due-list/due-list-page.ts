import { el, replaceKeeping } from '../dom.js';
import { filterForm, type FilterForm } from './due-filters.js';
import { countsText, dueListContent } from './due-list-content.js';
import type { DueListState } from './due-list-state.js';
import { tell } from '../language.js';
import { stripLegend } from '../due-lines/due-rows.js';
import { releasedPart } from '../released.js';
import { hashOf } from '../route.js';
import { troublesPart } from './troubles.js';
import { faultNote, type Surroundings, viewHeading } from '../view.js';

/** The elements of the due list's page. */
export interface DueListPage {
  element: HTMLElement;
  heading: HTMLHeadingElement;
  form: FilterForm;
  released: ReturnType<typeof releasedPart>;
  troubles: ReturnType<typeof troublesPart>;
  /** Draws the list anew. */
  draw(state: DueListState): void;
  /** Says that the list is being loaded. */
  busy(): void;
  /** Shows a fault in place of the list. */
  fail(fault: unknown, again: () => void): void;
}

export function dueListPage(surroundings: Surroundings): DueListPage {
  const heading = viewHeading(tell('heading-due-list'));
  const troubles = troublesPart();
  const released = releasedPart(surroundings);
  const counts = el('p', { id: 'counts' });
  const list = el('div', { id: 'due-lines', 'aria-busy': 'true' });
  const form = filterForm((filters) => {
    // One entry of the history for a series of filters: going back leaves the list.
    location.replace(hashOf({ view: 'due', filters }));
  });
  const busy = (isBusy: boolean): void => list.setAttribute('aria-busy', String(isBusy));
  return {
    ...{ heading, form, released, troubles },
    element: el(
      'div',
      {},
      ...[heading, released.element, troubles.element, counts],
      ...[form.element, stripLegend(), list],
    ),
    draw(state) {
      troubles.show(state.summary?.deliveryTroubles ?? []);
      counts.textContent = countsText(state);
      replaceKeeping(list, dueListContent(state), heading);
      busy(false);
    },
    busy: () => busy(true),
    fail(fault, again) {
      list.replaceChildren(faultNote(fault, again));
      busy(false);
    },
  };
}
