import { NoAnswerError } from '../../../../typescript/src/client.js';
import { database } from './database.js';

/** An answer of the service, and when it was given. */
export interface Kept<T> {
  value: T;
  at: string;
  /** The service did not answer now; this is what it answered then. */
  isOld: boolean;
}

/** Keeps an answer of the service for when there is no network. */
export async function keepAnswer(who: string, name: string, value: unknown): Promise<void> {
  await (await database()).put('answers', { value, at: new Date().toISOString() }, [who, name]);
}

/**
 * What the service answers now; without an answer, the last one that was kept.
 *
 * @throws NoAnswerError when nothing was kept either
 */
export async function freshOrKept<T>(who: string, name: string, ask: () => Promise<T>): Promise<Kept<T>> {
  try {
    const value = await ask();
    // A full store must not keep anybody from seeing the answer.
    await keepAnswer(who, name, value).catch(() => undefined);
    return { value, at: new Date().toISOString(), isOld: false };
  } catch (fault) {
    if (!(fault instanceof NoAnswerError)) throw fault;
    const kept = await (await database()).get('answers', [who, name]);
    if (kept === undefined) throw fault;
    return { value: kept.value as T, at: kept.at, isOld: true };
  }
}
