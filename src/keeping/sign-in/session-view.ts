import type { Person } from '../../entities/person.entity.js';
import type { Session } from '../../entities/session.entity.js';
import type { SessionView } from './session.dto.js';

/** How long a session lasts from its last day of use. */
export const SESSION_MS = 90 * 86_400_000;

export function sessionView(
  session: Session,
  person: Pick<Person, 'id' | 'name'> | null,
  currentId: string | null,
): SessionView {
  return {
    id: session.id,
    person: person && { id: person.id, name: person.name },
    tokenId: session.tokenId,
    device: session.device,
    createdAt: session.createdAt.toISOString(),
    lastUsedAt: session.lastUsedAt.toISOString(),
    expiresAt: session.expiresAt.toISOString(),
    current: session.id === currentId,
  };
}
