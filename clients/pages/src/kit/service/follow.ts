import type { components } from '../../../../typescript/src/client.js';
import { comebackMs, eventReader, type ServerEvent } from './server-events.js';

type DueLine = components['schemas']['DueLineItem'];
type LossAlert = components['schemas']['LossAlertView'];

export type News =
  | { what: 'due-line'; isOpen: boolean; line: DueLine }
  | { what: 'loss-alert'; alert: LossAlert }
  /**
   * Another day, or more happened than can be told, or nobody was listening when the view was
   * loaded.
   */
  | { what: 'all' };

export interface Listener {
  hear(news: News): void;
  /** Whether the stream stands. */
  connected(isConnected: boolean): void;
  /** The token is not accepted any more. */
  refused(): void;
}

/** The stream brings a comment every 15 s: without any for so long it is dead. */
const SILENT_MS = 45_000;

/**
 * Follows the changes of the due list, told in a language, until `signal` ends it. Takes up where
 * it was after a break.
 */
export async function follow(
  { token, language }: { token: string | null; language: string },
  listener: Listener,
  signal: AbortSignal,
): Promise<void> {
  let lastId = '';
  let retryMs = 3000;
  let failures = 0;
  const take = ({ event, id, data, retryMs: asked }: ServerEvent): void => {
    failures = 0;
    if (id !== null) lastId = id;
    if (asked !== null) retryMs = asked;
    const news = data === null ? null : newsOf(event, data);
    if (news !== null) listener.hear(news);
  };
  while (!signal.aborted) {
    const silence = new AbortController();
    let timer = setTimeout(() => silence.abort(), SILENT_MS);
    try {
      const response = await fetch('/v1/due-list/events', {
        headers: {
          accept: 'text/event-stream',
          'accept-language': language,
          ...(token === null ? {} : { authorization: `Bearer ${token}` }),
          ...(lastId === '' ? {} : { 'last-event-id': lastId }),
        },
        signal: AbortSignal.any([signal, silence.signal]),
      });
      if (response.status === 401 || response.status === 403) return listener.refused();
      if (response.ok && response.body !== null) {
        listener.connected(true);
        // It begins now, and what was loaded may be older than that.
        if (lastId === '') listener.hear({ what: 'all' });
        const read = eventReader();
        const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
        for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
          clearTimeout(timer);
          timer = setTimeout(() => silence.abort(), SILENT_MS);
          for (const event of read(piece.value)) take(event);
        }
      }
    } catch {
      // The connection failed or fell silent; what comes next is the same.
    } finally {
      clearTimeout(timer);
    }
    if (signal.aborted) return;
    failures++;
    listener.connected(false);
    await paused(comebackMs(retryMs, failures, Math.random()), signal);
  }
}

function newsOf(event: string, data: string): News | null {
  if (event === 'day' || event === 'reset') return { what: 'all' };
  if (event === 'due-line')
    return { what: event, ...(JSON.parse(data) as { isOpen: boolean; line: DueLine }) };
  if (event === 'loss-alert') return { what: event, ...(JSON.parse(data) as { alert: LossAlert }) };
  return null;
}

function paused(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms);
    signal.addEventListener('abort', () => (clearTimeout(timer), resolve()), { once: true });
  });
}
