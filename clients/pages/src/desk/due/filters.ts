import { DUE_STATES, type DueLine, type DueState } from '../../kit/due/due-line.js';

export const GROUPINGS = ['none', 'vehicle', 'depot', 'visit'] as const;
export type Grouping = (typeof GROUPINGS)[number];

/** What of the due list is shown; empty where it does not matter. */
export interface Filters {
  depot: string;
  component: string;
  states: readonly DueState[];
  /** Part of a unit number. */
  q: string;
  group: Grouping;
}

/** What is shown unless asked otherwise, as the service does. */
const USUAL_STATES: readonly DueState[] = ['late', 'due', 'window'];

/** The filters that an address asks for; the usual where it asks for nothing that there is. */
export function filtersOf(asked: URLSearchParams): Filters {
  const value = (name: string): string => asked.get(name) ?? '';
  const named = value('state').split(',');
  const states = DUE_STATES.filter((state) => named.includes(state));
  return {
    depot: value('depot'),
    component: value('component'),
    states: states.length === 0 ? USUAL_STATES : states,
    q: value('q'),
    group: GROUPINGS.find((grouping) => grouping === value('group')) ?? 'none',
  };
}

/** The address of filters, without what is usual. */
export function addressOf({ depot, component, states, q, group }: Filters): URLSearchParams {
  const address = new URLSearchParams();
  const put = (name: string, value: string): void => {
    if (value !== '') address.set(name, value);
  };
  put('depot', depot);
  put('component', component);
  put('state', states.join() === USUAL_STATES.join() ? '' : states.join());
  put('q', q);
  put('group', group === 'none' ? '' : group);
  return address;
}

/** The same as the service is asked. */
export function queryOf({ depot, component, states, q }: Filters) {
  return {
    state: states.join(),
    ...(depot !== '' && { depotId: depot }),
    ...(component !== '' && { component: component as DueLine['component'] }),
    ...(q !== '' && { q }),
  };
}

/** Whether the list that these filters ask for shows a line. */
export function isAskedFor(line: DueLine, { depot, component, states, q }: Filters): boolean {
  return (
    (depot === '' || line.vehicle.depotId === depot) &&
    (component === '' || line.component === component) &&
    states.includes(line.state) &&
    line.vehicle.unitNumber.toLowerCase().includes(q.toLowerCase())
  );
}
