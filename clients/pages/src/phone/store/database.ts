import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { Draft } from '../draft/draft.js';
import type { KeptPhoto, OutboxEntry } from './entries.js';

/** What the phone keeps, each person's apart. */
interface PhoneSchema extends DBSchema {
  reports: { key: string; value: OutboxEntry; indexes: { who: string } };
  photos: { key: string; value: KeptPhoto; indexes: { report: string } };
  /** Reports that are not finished. */
  drafts: { key: [who: string, vehicleId: string]; value: { draft: Draft; at: string } };
  /** Answers of the service, for when there is no network. */
  answers: { key: [who: string, name: string]; value: { value: unknown; at: string } };
}

let opening: Promise<IDBPDatabase<PhoneSchema>> | null = null;

export function database(): Promise<IDBPDatabase<PhoneSchema>> {
  opening ??= openDB<PhoneSchema>('weephole-phone', 1, {
    upgrade(fresh) {
      fresh.createObjectStore('reports', { keyPath: 'id' }).createIndex('who', 'who');
      fresh.createObjectStore('photos', { keyPath: 'id' }).createIndex('report', 'reportId');
      fresh.createObjectStore('drafts');
      fresh.createObjectStore('answers');
    },
    terminated() {
      opening = null;
    },
  });
  return opening;
}

/** Asks the browser not to clear away what is kept. It may refuse; then it may clear it. */
export async function askToPersist(): Promise<boolean> {
  const { storage } = navigator;
  if (typeof storage?.persist !== 'function') return false;
  return (await storage.persisted()) || storage.persist();
}
