import { NoAnswerError } from '../../../../typescript/src/client.js';
import { database } from './database.js';

/** An answer of the service, and when it was given. */
export interface Kept<T> {
  value: T;
  at: string;
  /** The service did not answer now; this is what it answered then. */
  isOld: boolean;
}

/** How long somebody with an older answer at hand waits for a new one. */
const PATIENCE_MS = 5_000;

/** Keeps an answer of the service for when there is no network. */
export async function keepAnswer(who: string, name: string, value: unknown): Promise<void> {
  await (await database()).put('answers', { value, at: new Date().toISOString() }, [who, name]);
}

/** When an answer was kept; null if there is none. */
export async function keptAt(who: string, name: string): Promise<string | null> {
  return (await (await database()).get('answers', [who, name]))?.at ?? null;
}

/** An answer that was kept; null if there is none. */
export async function keptAnswer<T>(who: string, name: string): Promise<T | null> {
  const kept = await (await database()).get('answers', [who, name]);
  return kept === undefined ? null : (kept.value as T);
}

async function ask<T>(who: string, name: string, question: () => Promise<T>): Promise<Kept<T>> {
  const value = await question();
  // A full store must not keep anybody from seeing the answer.
  await keepAnswer(who, name, value).catch(() => undefined);
  return { value, at: new Date().toISOString(), isOld: false };
}

/**
 * What the service answers now; without an answer, or with one that is slow to come, the last one
 * that was kept.
 *
 * @throws NoAnswerError when nothing was kept either
 */
export async function freshOrKept<T>(
  who: string,
  name: string,
  question: () => Promise<T>,
): Promise<Kept<T>> {
  const stored = await (await database()).get('answers', [who, name]);
  if (stored === undefined) return ask(who, name, question);
  const kept: Kept<T> = { value: stored.value as T, at: stored.at, isOld: true };
  if (!navigator.onLine) return kept;
  const late = new Promise<Kept<T>>((resolve) => setTimeout(resolve, PATIENCE_MS, kept));
  const fresh = ask(who, name, question).catch((fault: unknown) => {
    if (!(fault instanceof NoAnswerError)) throw fault;
    return kept;
  });
  return Promise.race([fresh, late]);
}
