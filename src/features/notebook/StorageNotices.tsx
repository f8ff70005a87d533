import { useEffect, useState } from 'react';
import type { StorageNotice } from '../../storage/notices';
import { appStorage, type Storage } from '../../storage/repository';
import './storageNotices.css';

const without = (kind: StorageNotice['kind']) => (list: readonly StorageNotice[]) =>
  list.filter((notice) => notice.kind !== kind);

/** What the storage has to say, whichever screen is open: the newest sentence of each kind until it is closed. */
export const NoticesOf = ({ storage }: { readonly storage: Pick<Storage, 'onNotice'> }) => {
  const [notices, setNotices] = useState<readonly StorageNotice[]>([]);
  useEffect(
    () => storage.onNotice((notice) => setNotices((before) => [...without(notice.kind)(before), notice])),
    [storage],
  );
  return (
    <div className="storage-notices" role="status">
      {notices.map(({ kind, sentence }) => (
        <div key={kind} className="note note--warn">
          <p>{sentence}</p>
          <div className="row">
            {kind === 'reloadNeeded' && (
              <button type="button" className="button button--primary" onClick={() => location.reload()}>
                Reload
              </button>
            )}
            <button type="button" className="button" onClick={() => setNotices(without(kind))}>
              Close
            </button>
          </div>
        </div>
      ))}
    </div>
  );
};

const StorageNotices = () => <NoticesOf storage={appStorage()} />;

export default StorageNotices;
