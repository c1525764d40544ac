import { shownMessage } from '../../platform/words/shown-messages.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import type { UsageReadingView } from './usage.dto.js';
import type { UsageReading } from '../../entities/usage-reading.entity.js';

/** Shows a usage reading. The presenter converts its measures to the reader's units. */
export function usageReadingView(reading: UsageReading): UsageReadingView {
  const {
    id,
    vehicleId,
    readAt,
    odometerReplaced,
    engineHoursReplaced,
    source,
    status,
    reason,
    detail,
    jobReportId,
    decisionReason,
  } = reading;
  return {
    ...{
      id,
      vehicleId,
      odometerReplaced,
      engineHoursReplaced,
      source,
      status,
      reason,
      jobReportId,
      decisionReason,
    },
    detail: detail && shownMessage(detail),
    readAt: readAt.toISOString(),
    odometer: optionalMeasure('distance', reading.odometerKm),
    engineHours: optionalMeasure('engine-hours', reading.engineHours),
  };
}
