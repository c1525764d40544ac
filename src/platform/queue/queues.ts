/**
 * The queues: `work` for sweeps and the like, `deliveries` for what goes out of the house and may
 * take long, `planning` for what computes for a minute and takes much memory, one at a time in a
 * process.
 */
export const QUEUES = ['work', 'deliveries', 'planning'] as const;
