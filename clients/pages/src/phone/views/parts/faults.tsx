import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Problem } from '../../../../../typescript/src/client.js';

type FieldFaults = NonNullable<Problem['errors']>;

/** What the service refused of the report that is being corrected. */
export const Refused = createContext<FieldFaults>([]);

/** Why the service refused a field, beside it. @param at the JSON pointer of the field, or above it */
export function FaultOf({ at }: { at: string }) {
  const faults = useContext(Refused).filter(({ pointer }) => `${pointer ?? ''}/`.startsWith(`${at}/`));
  if (faults.length === 0) return null;
  return (
    <ul class="fault dots">
      {faults.map(({ detail }) => (
        <li key={detail}>{detail}</li>
      ))}
    </ul>
  );
}
