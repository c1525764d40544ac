import { inCircuit } from '../words.js';
import { isAskedFor } from './due-filters.js';
import type { DueListState } from './due-list-state.js';
import type { News } from '../live.js';
import type { DueLine } from '../types.js';
import { gathered, type Surroundings } from '../view.js';
import { tell } from '../language.js';

const SAY_MS = 700;

/**
 * Takes news of the event stream into the due list: draws a changed line at once, says it, and has
 * the list loaded again.
 */
export function dueListListener(
  state: DueListState,
  surroundings: Surroundings,
  { redraw, reload }: Record<'redraw' | 'reload', () => void>,
): (news: News) => void {
  const heard: string[] = [];
  const sayHeard = gathered(
    () => {
      const texts = heard.splice(0);
      surroundings.say(
        texts.length > 3 ? tell('board-lines-changed', { count: texts.length }) : texts.join('. '),
      );
    },
    surroundings.signal,
    SAY_MS,
  );
  return (news) => {
    if (news.what === 'all') return reload();
    if (news.what !== 'due-line') return;
    const { line, isOpen } = news;
    const { lines, filters, changed } = state;
    const place = lines.findIndex(({ id }) => id === line.id);
    const isWanted = isOpen && isAskedFor(line, filters);
    if (place < 0 && !isWanted) return reload();
    const before = lines[place];
    // It may be told again what is known already.
    if (before !== undefined && isWanted && JSON.stringify(before) === JSON.stringify(line)) return;
    heard.push(inWords(line, isOpen));
    changed.add(line.id);
    if (place >= 0) {
      lines.splice(place, 1, ...(isWanted ? [line] : []));
      redraw();
    }
    sayHeard();
    reload();
  };
}

function inWords({ vehicle, component, action, circuit, state }: DueLine, isOpen: boolean): string {
  const named = {
    unit: vehicle.unitNumber,
    component: inCircuit(tell(`component-${component}`), circuit),
    action: tell(`action-${action}`),
  };
  return isOpen
    ? tell('board-line-now', { ...named, state: tell(`board-state-${state}`) })
    : tell('board-line-gone', named);
}
