import { Link } from 'wouter-preact';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

/** The way back to the settings. */
export function ToSettings() {
  return (
    <p>
      <Link href="/settings">{tell(message('desk-settings-back'))}</Link>
    </p>
  );
}
