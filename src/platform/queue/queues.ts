/**
 * The queues. `work` is for sweeps and similar jobs. `deliveries` is for messages to receivers
 * outside, which may be slow. `planning` is for jobs that compute for a minute and take much
 * memory; a process runs one of them at a time.
 * `sources` is for polls of telematics sources, which wait for other people's servers.
 */
export const QUEUES = ['work', 'deliveries', 'planning', 'sources'] as const;
