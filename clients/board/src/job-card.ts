import { el } from './dom.js';
import { tell } from './language.js';
import { hashOf } from './route.js';
import { faultNote, type Surroundings, type View, viewHeading } from './view.js';

/** The printable job card in a frame of its own, in which nothing runs. */
export function jobCardView(vehicleId: string, surroundings: Surroundings): View {
  const { client, signal } = surroundings;
  const body = el('div', { 'aria-busy': 'true' });

  async function load(): Promise<void> {
    try {
      const { data } = await client.file('/v1/vehicles/{id}/job-card', {
        ...{ path: { id: vehicleId }, query: { format: 'html' }, signal },
      });
      const frame = el('iframe', {
        title: tell('board-job-card'),
        sandbox: 'allow-same-origin allow-modals',
        srcdoc: await data.text(),
      });
      // As tall as the card, or a phone would scroll a page within a page.
      frame.addEventListener('load', () => {
        const height = frame.contentDocument?.documentElement.scrollHeight ?? 0;
        if (height > 0) frame.style.height = `${height + 4}px`;
      });
      const print = el('button', { type: 'button' }, tell('board-print'));
      print.addEventListener('click', () => frame.contentWindow?.print());
      body.replaceChildren(el('p', {}, print), frame);
    } catch (fault) {
      if (signal.aborted || surroundings.endedBy(fault)) return;
      body.replaceChildren(faultNote(fault, () => void load()));
    }
    body.setAttribute('aria-busy', 'false');
  }

  void load();
  return {
    title: tell('board-job-card'),
    element: el(
      'div',
      {},
      viewHeading(tell('board-job-card')),
      el(
        'p',
        { class: 'back' },
        el('a', { href: hashOf({ view: 'vehicle', vehicleId }) }, tell('board-back')),
      ),
      body,
    ),
    // A card is drawn as of when it was asked for: it does not change under whoever is about to
    // print it.
    hear: () => undefined,
    turnTo: () => false,
  };
}
