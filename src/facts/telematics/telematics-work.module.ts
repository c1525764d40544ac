import { Module } from '@nestjs/common';
import { PollingService } from './polling/polling.service.js';
import { SignedInClient } from './polling/signed-in.js';
import { SourceClient } from './polling/source-client.js';
import { TelematicsIntakeModule } from './telematics-intake.module.js';

/** Polls telematics sources. Only the worker has this module. */
@Module({
  imports: [TelematicsIntakeModule],
  providers: [PollingService, SignedInClient, SourceClient],
  exports: [PollingService],
})
export class TelematicsWorkModule {}
