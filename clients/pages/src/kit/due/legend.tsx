import { tell } from '../texts/tell.js';
import { DUE_STATES } from './due-line.js';
import { message } from './messages.js';
import { Mark } from './strip.js';

/** What the shapes and rules on a strip of weeks mean. */
export const StripLegend = () => (
  <details class="legend">
    <summary>{tell(message('page-legend'))}</summary>
    <ul>
      {DUE_STATES.map((state) => (
        <li key={state}>
          <Mark state={state} /> {tell(message(`page-legend-${state}`))}
        </li>
      ))}
    </ul>
    <p>{tell(message('page-legend-strip'))}</p>
  </details>
);
