import { Route, Switch } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useMe } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { OneFile } from './one-file.js';
import { Taken } from './taken.js';
import { Upload } from './upload.js';
import { Waiting } from './waiting.js';
import './files.css';

function FileList() {
  const me = useMe();
  return (
    <div class="files-view">
      <Heading>{tell(message('desk-files'))}</Heading>
      <p>{tell(message('desk-files-about'))}</p>
      <Upload />
      <Shown state={me.state} again={me.reload}>
        {({ timeZone }) => (
          <>
            <Waiting timeZone={timeZone} />
            <Taken timeZone={timeZone} />
          </>
        )}
      </Shown>
    </div>
  );
}

/** Spreadsheets: sent as they are, asked about, checked, taken, and taken back. */
export function Files() {
  return (
    <Switch>
      <Route path="/files/:id">{({ id }) => <OneFile key={id} id={id} />}</Route>
      <Route>
        <FileList />
      </Route>
    </Switch>
  );
}
