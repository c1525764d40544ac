import { el, replaceKeeping } from '../dom.js';
import { tell } from '../language.js';
import type { DeliveryTrouble } from '../types.js';

/** Trouble comes with time: without any change of the fleet, so no news of it comes. */
export const LOOK_AGAIN_MS = 60_000;

/** What keeps reminders from being heard, for managers; nothing where all is well. */
export function troublesPart(): { element: HTMLElement; show(troubles: readonly DeliveryTrouble[]): void } {
  const element = el('div', { id: 'troubles' });
  let shown = '[]';
  return {
    element,
    show(troubles) {
      // The times in the sentences move on: read aloud is what is new.
      const known = JSON.stringify(troubles.map(({ kind, reminderTarget }) => [kind, reminderTarget?.id]));
      if (known === shown) return;
      shown = known;
      const texts = troubles.map(({ message }) => message.text);
      replaceKeeping(element, [
        texts.length > 0 &&
          el(
            'section',
            { class: 'fault', role: 'alert', 'aria-labelledby': 'troubles-heading' },
            el('h2', { id: 'troubles-heading' }, tell('board-troubles')),
            el('ul', { class: 'dots' }, ...texts.map((text) => el('li', {}, text))),
          ),
      ]);
    },
  };
}
