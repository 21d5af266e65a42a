import { Component, type ComponentChildren } from 'preact';
import { Heading } from './heading.tsx';
import { useReader } from './model.ts';
import { Page } from './shell.tsx';

interface GuardProps {
  /** Path of the page. A change of path clears the error. */
  readonly place: string;
  readonly onBroken: (cause: unknown) => void;
  readonly children: ComponentChildren;
}

/** Error boundary for a page: shows a message and keeps the rest of the app running. */
export class PageGuard extends Component<GuardProps, { brokenAt: string | null }> {
  override state = { brokenAt: null };

  override componentDidCatch(cause: unknown): void {
    console.error(cause);
    this.props.onBroken(cause);
    this.setState({ brokenAt: this.props.place });
  }

  override render() {
    return this.state.brokenAt === this.props.place ? <BrokenPage /> : this.props.children;
  }
}

function BrokenPage() {
  const { t } = useReader();
  return (
    <Page>
      <div class="page-head stack">
        <Heading>{t.app.broken}</Heading>
        <p>{t.app.brokenWhat}</p>
        <button type="button" class="button" onClick={() => location.reload()}>
          {t.app.reload}
        </button>
      </div>
    </Page>
  );
}
