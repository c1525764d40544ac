import type { DueState } from './types.js';
import { DUE_STATES, USUAL_STATES } from './due-lines/due-states.js';

export interface DueFilters {
  depotId: string;
  states: readonly DueState[];
  component: string;
  /** Part of a unit number. */
  q: string;
  cursor: string;
}

export type Route =
  | { view: 'due'; filters: DueFilters }
  | { view: 'alerts'; cursor: string }
  | { view: 'vehicle'; vehicleId: string }
  | { view: 'job-card'; vehicleId: string };

export const NO_FILTERS: DueFilters = { depotId: '', states: USUAL_STATES, component: '', q: '', cursor: '' };

/** What an address asks to see; the due list where it asks for nothing that there is. */
export function readRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#/, '').split(/\?(.*)/s);
  const [, view = '', id = '', part = ''] = path.split('/');
  const asked = new URLSearchParams(query);
  const value = (name: string): string => asked.get(name) ?? '';
  if (view === 'vehicle' && id !== '') {
    const vehicleId = safelyDecoded(id);
    return { view: part === 'job-card' ? 'job-card' : 'vehicle', vehicleId };
  }
  if (view === 'alerts') return { view, cursor: value('cursor') };
  const named = value('state').split(',');
  const states = DUE_STATES.filter((state) => named.includes(state));
  return {
    view: 'due',
    filters: {
      depotId: value('depot'),
      states: states.length === 0 ? USUAL_STATES : states,
      component: value('component'),
      q: value('q'),
      cursor: value('cursor'),
    },
  };
}

/** The address of what is seen, without what is usual. */
export function hashOf(route: Route): string {
  if (route.view === 'vehicle') return `#/vehicle/${encodeURIComponent(route.vehicleId)}`;
  if (route.view === 'job-card') return `#/vehicle/${encodeURIComponent(route.vehicleId)}/job-card`;
  const query = new URLSearchParams();
  const put = (name: string, value: string): void => {
    if (value !== '') query.set(name, value);
  };
  if (route.view === 'due') {
    const { depotId, states, component, q } = route.filters;
    put('depot', depotId);
    put('state', states.join() === USUAL_STATES.join() ? '' : states.join());
    put('component', component);
    put('q', q);
  }
  put('cursor', route.view === 'due' ? route.filters.cursor : route.cursor);
  const text = query.toString();
  return `#/${route.view}${text === '' ? '' : `?${text}`}`;
}

function safelyDecoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
