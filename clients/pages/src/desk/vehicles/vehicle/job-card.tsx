import { Link } from 'wouter-preact';
import { vehicleAddress } from '../../addresses.js';
import { Heading } from '../../../kit/parts/shell.js';
import { tell } from '../../../kit/texts/tell.js';
import { message } from '../words/messages.js';
import { PrintFrame } from './print-frame.js';

/** The job card of a vehicle, as of now, to print. */
export function JobCard({ id }: { id: string }) {
  const title = tell(message('desk-vehicle-job-card'));
  return (
    <>
      <Heading>{title}</Heading>
      <p>
        <Link href={`~${vehicleAddress(id)}`}>{tell(message('desk-vehicle-back'))}</Link>
      </p>
      <PrintFrame
        title={title}
        load={async (client, signal) => {
          const asked = { path: { id }, query: { format: 'html' as const }, signal };
          return (await client.file('/v1/vehicles/{id}/job-card', asked)).data.text();
        }}
        dependsOn={[id]}
      />
    </>
  );
}
