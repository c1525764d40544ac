import { NoAnswerError, ProblemError, type WeepholeClient } from '../../typescript/src/client.js';
import { el } from './dom.js';
import { tell } from './language.js';
import type { News } from './live.js';
import type { Route } from './route.js';
import type { Fleet } from './types.js';

/** What a view has to work with. */
export interface Surroundings {
  client: WeepholeClient;
  fleet: Fleet;
  /** Ends when the view is left. */
  signal: AbortSignal;
  /** Says something to whoever cannot see it change. */
  say(text: string): void;
  /** Deals with a fault that means the sign-in is over. @returns whether it did */
  endedBy(fault: unknown): boolean;
}

/** One view of the board. */
export interface View {
  title: string;
  element: HTMLElement;
  hear(news: News): void;
  /** Shows another route of the same view without being built anew. @returns whether it can */
  turnTo(route: Route): boolean;
}

/** A heading that takes the focus when its view is opened, so that a screen reader begins there. */
export const viewHeading = (text: string): HTMLHeadingElement => el('h1', { tabindex: -1 }, text);

/** What went wrong: in the service's words, where it answered. */
export function faultInWords(fault: unknown): string {
  if (fault instanceof ProblemError) return fault.problem.detail;
  if (fault instanceof NoAnswerError) return tell('board-no-answer');
  return fault instanceof Error ? fault.message : String(fault);
}

/** What went wrong, and a way to try again. */
export function faultNote(fault: unknown, again: () => void): HTMLElement {
  const button = el('button', { type: 'button' }, tell('board-try-again'));
  button.addEventListener('click', again);
  return el('div', { class: 'fault', role: 'alert' }, el('p', {}, faultInWords(fault)), button);
}

/**
 * Runs `work` again some time after it was asked for, however often it was asked meanwhile, until
 * `signal`.
 */
export function gathered(work: () => void, signal: AbortSignal, waitMs: number): () => void {
  let timer: ReturnType<typeof setTimeout> | null = null;
  signal.addEventListener('abort', () => timer !== null && clearTimeout(timer), { once: true });
  return () => {
    if (timer !== null || signal.aborted) return;
    timer = setTimeout(() => {
      timer = null;
      work();
    }, waitMs);
  };
}
