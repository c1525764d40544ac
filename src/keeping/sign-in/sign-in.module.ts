import { Module } from '@nestjs/common';
import { DueListEventsModule } from '../../telling/due-list-events/due-list-events.module.js';
import { SessionsController } from './sessions.controller.js';
import { SessionsService } from './sessions.service.js';
import { SignInLinksController } from './sign-in-links.controller.js';
import { SignInLinksService } from './sign-in-links.service.js';
import { SignInService } from './sign-in.service.js';

@Module({
  imports: [DueListEventsModule],
  controllers: [SessionsController, SignInLinksController],
  providers: [SessionsService, SignInLinksService, SignInService],
})
export class SignInModule {}
