import { useEffect } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { askForSteps, openSteps } from './open-steps.js';

/** Says above the first view that a new fleet lacks something, and leads there. */
export function StepsLine() {
  useEffect(() => void askForSteps(), []);
  const count = openSteps.value;
  if (count === null || count === 0) return null;
  return (
    <p class="steps-line">
      {tell(message('desk-steps-line', { count }))}{' '}
      <Link href="/first-steps">{tell(message('desk-steps-go'))}</Link>
    </p>
  );
}
