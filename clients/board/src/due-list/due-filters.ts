import { el } from '../dom.js';
import type { DueFilters } from '../route.js';
import type { DueLine, DueListSummary, DueState } from '../types.js';
import { DUE_STATES } from '../due-lines/due-states.js';
import { currentLocale, tell } from '../language.js';

const COMPONENTS = [
  ...['coolant', 'water-pump', 'drive-belt', 'tensioner', 'idler', 'thermostat', 'radiator', 'radiator-cap'],
  ...['upper-hose', 'lower-hose', 'heater-hose', 'bypass-hose', 'hose-clamp', 'fan-drive', 'fan-shroud'],
  ...['reservoir', 'heater-core', 'coolant-filter', 'oil-cooler', 'egr-cooler', 'head-gasket'],
  ...['electric-coolant-pump', 'chiller', 'coolant-heater', 'coolant-valve', 'degas-bottle', 'fan-clutch'],
  ...['injector-sleeve', 'timing-belt', 'temperature-sensor', 'other'],
] as const satisfies DueLine['component'][];

export interface FilterForm {
  element: HTMLFormElement;
  /** Shows filters that came by the address. */
  show(filters: DueFilters): void;
  /** Offers the depots, once they are known. */
  offerDepots(summary: DueListSummary): void;
}

const TYPING_MS = 300;

const labelled = (text: string, field: HTMLElement): HTMLLabelElement =>
  el('label', {}, el('span', {}, text), field);

interface Fields {
  depot: HTMLSelectElement;
  component: HTMLSelectElement;
  search: HTMLInputElement;
  states: { state: DueState; box: HTMLInputElement }[];
}

/** The filters of the due list; each change is told at once, what is typed after a pause. */
export function filterForm(changed: (filters: DueFilters) => void): FilterForm {
  const fields = filterFields();
  const { depot, component, search, states } = fields;
  const element = formOf(fields);
  let wantedDepot = '';
  tellChanges(element, search, () =>
    changed({
      depotId: (wantedDepot = depot.value),
      component: component.value,
      q: search.value.trim(),
      states: states.filter(({ box }) => box.checked).map(({ state }) => state),
      cursor: '',
    }),
  );
  return {
    element,
    show(filters) {
      wantedDepot = filters.depotId;
      depot.value = wantedDepot;
      component.value = filters.component;
      // What is being typed is not taken from under the fingers.
      if (document.activeElement !== search) search.value = filters.q;
      for (const { state, box } of states) box.checked = filters.states.includes(state);
    },
    offerDepots({ depots }) {
      const named = depots.filter(({ depotId }) => depotId !== null);
      depot.replaceChildren(
        el('option', { value: '' }, tell('board-all-depots')),
        ...named.map(({ depotId, name }) => el('option', { value: depotId }, name)),
      );
      depot.value = wantedDepot;
    },
  };
}

function filterFields(): Fields {
  return {
    depot: el('select', { name: 'depot' }, el('option', { value: '' }, tell('board-all-depots'))),
    component: el(
      'select',
      { name: 'component' },
      el('option', { value: '' }, tell('board-all-components')),
      ...COMPONENTS.map((value) => ({ value, text: tell(`component-${value}`) }))
        .sort((a, b) => a.text.localeCompare(b.text, currentLocale()))
        .map(({ value, text }) => el('option', { value }, text)),
    ),
    search: el('input', {
      ...{ type: 'search', name: 'q', maxlength: 40, autocomplete: 'off', spellcheck: 'false' },
    }),
    states: DUE_STATES.map((state) => ({
      state,
      box: el('input', { type: 'checkbox', name: 'state', value: state }),
    })),
  };
}

function formOf({ depot, component, search, states }: Fields): HTMLFormElement {
  const boxes = states.map(({ state, box }) =>
    el('li', {}, el('label', {}, box, el('span', {}, tell(`board-state-${state}`)))),
  );
  return el(
    'form',
    { class: 'filters', role: 'search', 'aria-label': tell('board-filter') },
    labelled(tell('board-depot'), depot),
    labelled(tell('board-component'), component),
    labelled(tell('board-unit-number-part'), search),
    el('fieldset', {}, el('legend', {}, tell('board-state')), el('ul', {}, ...boxes)),
  );
}

/** Calls `changed` when a field changes or the form is submitted, and after a pause in typing. */
function tellChanges(form: HTMLFormElement, search: HTMLInputElement, changed: () => void): void {
  let typing: ReturnType<typeof setTimeout> | undefined;
  search.addEventListener('input', () => {
    clearTimeout(typing);
    typing = setTimeout(changed, TYPING_MS);
  });
  form.addEventListener('change', (event) => {
    if (event.target !== search) changed();
  });
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    clearTimeout(typing);
    changed();
  });
}

/** Whether the list that these filters ask for shows a line. */
export function isAskedFor(line: DueLine, filters: DueFilters): boolean {
  return (
    (filters.depotId === '' || line.vehicle.depotId === filters.depotId) &&
    (filters.component === '' || line.component === filters.component) &&
    filters.states.includes(line.state) &&
    line.vehicle.unitNumber.toLowerCase().includes(filters.q.toLowerCase())
  );
}
