import type { Draft } from '../draft/draft.js';
import { database } from './database.js';

/** Keeps what has been typed so far, for when the page is closed. */
export async function keepDraft(who: string, draft: Draft): Promise<void> {
  await (await database()).put('drafts', { draft, at: new Date().toISOString() }, [who, draft.vehicleId]);
}

export async function keptDraft(who: string, vehicleId: string): Promise<Draft | null> {
  return (await (await database()).get('drafts', [who, vehicleId]))?.draft ?? null;
}

export async function dropDraft(who: string, vehicleId: string): Promise<void> {
  await (await database()).delete('drafts', [who, vehicleId]);
}
