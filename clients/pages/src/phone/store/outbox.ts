import { database } from './database.js';
import type { KeptPhoto, OutboxEntry } from './entries.js';

/** How many reports that were sent are still shown. */
const MOST_SENT = 30;

/** The phone has no room left. What was typed is still on the screen. */
export class StoreFullError extends Error {
  override readonly name = 'StoreFullError';
}

/** An id that nobody else makes. Browsers offer `randomUUID` only on https pages. */
export function newId(): string {
  if (typeof crypto.randomUUID === 'function') return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

/** Says in an error of its own that the phone is full. */
async function withRoom<T>(keep: () => Promise<T>): Promise<T> {
  try {
    return await keep();
  } catch (fault) {
    if (fault instanceof DOMException && fault.name === 'QuotaExceededError')
      throw new StoreFullError('no room left on the phone', { cause: fault });
    throw fault;
  }
}

/** Under which the photos of an unfinished report are kept. */
export const draftPhotos = (who: string, vehicleId: string): string => `draft ${who} ${vehicleId}`;

/** Keeps a photo at once: while the camera is open, the phone may close the page. */
export function keepPhoto(reportId: string, file: File): Promise<void> {
  return withRoom(async () => {
    const bytes = await file.arrayBuffer();
    const photo = { id: newId(), reportId, name: file.name, type: file.type, bytes, problem: null };
    await (await database()).put('photos', photo);
  });
}

/**
 * Keeps a finished report with the photos of its draft, and drops the draft, all at once. When this
 * resolves, it survives a closed browser.
 *
 * @throws StoreFullError when there is no room; then nothing has changed
 */
export function keepReport(entry: OutboxEntry): Promise<void> {
  const { who, report } = entry;
  return withRoom(async () => {
    const stores = ['reports', 'photos', 'drafts'] as const;
    const transaction = (await database()).transaction(stores, 'readwrite', { durability: 'strict' });
    const photos = transaction.objectStore('photos');
    for (const photo of await photos.index('report').getAll(draftPhotos(who, report.vehicleId)))
      void photos.put({ ...photo, reportId: entry.id });
    void transaction.objectStore('reports').put(entry);
    void transaction.objectStore('drafts').delete([who, report.vehicleId]);
    await transaction.done;
  });
}

export async function putEntry(entry: OutboxEntry): Promise<void> {
  await (await database()).put('reports', entry);
}

/** The reports of a person, the latest first. */
export async function entriesOf(who: string): Promise<OutboxEntry[]> {
  const all = await (await database()).getAllFromIndex('reports', 'who', who);
  return all.toSorted((left, right) => right.finishedAt.localeCompare(left.finishedAt));
}

export async function entryOf(who: string, id: string): Promise<OutboxEntry | null> {
  const entry = await (await database()).get('reports', id);
  return entry?.who === who ? entry : null;
}

/** Takes a report back that has not been sent. */
export async function takeBack(id: string): Promise<void> {
  const transaction = (await database()).transaction(['reports', 'photos'], 'readwrite');
  const photos = await transaction.objectStore('photos').index('report').getAllKeys(id);
  await transaction.objectStore('reports').delete(id);
  for (const photo of photos) await transaction.objectStore('photos').delete(photo);
  await transaction.done;
}

export async function photosOf(reportId: string): Promise<KeptPhoto[]> {
  return (await database()).getAllFromIndex('photos', 'report', reportId);
}

export async function dropPhoto(id: string): Promise<void> {
  await (await database()).delete('photos', id);
}

export async function putPhoto(photo: KeptPhoto): Promise<void> {
  await (await database()).put('photos', photo);
}

/** Forgets the oldest of the reports that the service has, with all their photos. */
export async function forgetOldSent(who: string): Promise<void> {
  const sent = (await entriesOf(who)).filter(({ state }) => state === 'sent');
  for (const { id } of sent.slice(MOST_SENT)) {
    if ((await photosOf(id)).length === 0) await (await database()).delete('reports', id);
  }
}
