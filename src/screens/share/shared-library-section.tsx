import { useEffect, useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import type { SharedDevice } from '../../share/shared-library.ts';

const NAME_LENGTH = 60;

/** The secret in the address that the code holds; empty without one. */
const secretOf = (text: string): string => /join=([\w-]+)/.exec(text)?.[1] ?? '';

/** One library for a garage: join, state, devices, leave. */
export function SharedLibrarySection() {
  const { t } = useReader();
  const { sharedLibrary } = useModel();
  const isMember = sharedLibrary.membership.value !== null;
  const { loaded } = useLoaded('shared-library', sharedLibrary.isOffered);
  const isOffered = loaded.state === 'ready' ? loaded.value : null;
  return (
    <Section title={t.share.garage} hint={t.share.garageHint} id="shared-library">
      {isMember ? <Member /> : isOffered === false ? <p>{t.share.garageNone}</p> : isOffered && <Join />}
    </Section>
  );
}

function Join() {
  const { t } = useReader();
  const { sharedLibrary } = useModel();
  const trouble = useRefusal();
  const [secret, setSecret] = useState(() => secretOf(location.hash));
  const [name, setName] = useState('');
  const isFromCode = secretOf(location.hash) !== '';
  useEffect(() => {
    // The address of the code, opened on this page, loads nothing.
    const follow = () => setSecret(secretOf(location.hash));
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  }, []);
  const join = () =>
    trouble.attempt(async () => {
      const isJoined = await sharedLibrary.join(secretOf(secret) || secret.trim(), name);
      // The secret must not stay in the address, which people copy.
      if (isJoined) history.replaceState(history.state, '', location.pathname);
      return isJoined ? null : t.share.joinWrong;
    });
  return (
    <div class="stack">
      {!isFromCode && (
        <Field label={t.share.joinCode} hint={t.share.joinCodeHint} value={secret} onInput={setSecret} />
      )}
      <Field
        label={t.share.deviceName}
        hint={t.share.deviceNameHint}
        value={name}
        most={NAME_LENGTH}
        onInput={setName}
      />
      <p>{t.share.joinWhat}</p>
      <div>
        <Button kind="main" onClick={() => void join()} blocked={secret === '' ? t.share.joinCodeHint : null}>
          {t.share.join}
        </Button>
      </div>
      <trouble.Words />
    </div>
  );
}

function Member() {
  const { t, say } = useReader();
  const { sharedLibrary } = useModel();
  const status = sharedLibrary.status.value;
  const trouble = useRefusal();
  const { membership } = sharedLibrary;
  const { loaded, reload } = useLoaded(
    // Others may have joined until the state changes.
    `shared-devices ${status?.state}`,
    () => sharedLibrary.devices().catch(() => null),
  );
  const devices = loaded.state === 'ready' ? loaded.value : null;
  const leave = () =>
    trouble.attempt(async () => {
      const { id = '' } = membership.peek() ?? {};
      await sharedLibrary.revoke(id);
      return null;
    });
  const revoke = (id: string) =>
    trouble.attempt(async () => {
      await sharedLibrary.revoke(id);
      reload();
      return null;
    });
  const rename = (id: string, name: string) =>
    trouble.attempt(async () => {
      await sharedLibrary.rename(id, name);
      reload();
      return null;
    });
  return (
    <div class="stack">
      <p role="status" class="strong">
        {say(t.share.state[status?.state ?? 'connecting'], { n: status?.left ?? 0 })}
      </p>
      {status && status.tooLarge > 0 && <p>{say(t.share.tooLarge, { n: status.tooLarge })}</p>}
      {devices && (
        <ul class="stack">
          {devices.map((device) => (
            <DeviceRow
              key={device.id}
              device={device}
              isOwn={device.id === membership.value?.id}
              onRename={(name) => void rename(device.id, name)}
              onRevoke={() => void revoke(device.id)}
            />
          ))}
        </ul>
      )}
      <p class="quiet">{t.share.leaveWhat}</p>
      <div>
        <Button onClick={() => void leave()}>{t.share.leave}</Button>
      </div>
      <trouble.Words />
    </div>
  );
}

function DeviceRow({
  device,
  isOwn,
  onRename,
  onRevoke,
}: {
  device: SharedDevice;
  isOwn: boolean;
  onRename: (name: string) => void;
  onRevoke: () => void;
}) {
  const { t, say, dateTime } = useReader();
  const [name, setName] = useState(device.name);
  return (
    <li class="stack-tight">
      {isOwn ? (
        <Field
          label={t.share.thisDevice}
          value={name}
          most={NAME_LENGTH}
          onInput={setName}
          onBlur={() => name.trim() !== '' && name !== device.name && onRename(name)}
        />
      ) : (
        <div class="row">
          <span>{say(t.share.deviceLine, { name: device.name, date: dateTime(device.seenAt) })}</span>
          <Button kind="plain" onClick={onRevoke}>
            {say(t.share.revoke, { name: device.name })}
          </Button>
        </div>
      )}
    </li>
  );
}

/** Runs a request to the server, and says why it was refused or not answered. */
function useRefusal() {
  const { t } = useReader();
  const { log } = useModel();
  const [problem, setProblem] = useState<string | null>(null);
  return {
    async attempt(request: () => Promise<string | null>) {
      setProblem(null);
      try {
        setProblem(await request());
      } catch (cause) {
        log.add('shared library', cause);
        setProblem(t.share.noAnswer);
      }
    },
    Words: () =>
      problem === null ? null : (
        <p class="problem" role="alert">
          {problem}
        </p>
      ),
  };
}
