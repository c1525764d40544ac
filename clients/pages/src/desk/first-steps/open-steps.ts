import { signal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { service } from '../../kit/service/session.js';

export type Steps = components['schemas']['FirstStepsView'];
export type Step = Steps['items'][number];

/** How many steps are open. Null: not known, or of no concern to whoever is signed in. */
export const openSteps = signal<number | null>(null);

/** Notes how many steps are open. */
export function noteSteps(steps: Steps): Steps {
  openSteps.value = steps.items.filter(({ done }) => !done).length;
  return steps;
}

/** Asks how many steps are open. Only a manager is told; nobody else misses it. */
export async function askForSteps(): Promise<void> {
  try {
    noteSteps((await service().get('/v1/first-steps')).data);
  } catch {
    openSteps.value = null;
  }
}
