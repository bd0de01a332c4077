//! The system's own notice that somebody wrote in the log's folders, waited for beside the keys, so
//! that nothing wakes at rest. Where the system has none, or a file system gives none for what other
//! computers write, the look at each key serves.

use std::path::PathBuf;

pub(crate) use system::Changes;

/// A channel of notices and the folders they are asked for.
pub(crate) struct Followed {
    changes: Changes,
    folders: Vec<PathBuf>,
}

impl Followed {
    pub(crate) fn new(changes: Changes) -> Followed {
        Followed {
            changes,
            folders: Vec::new(),
        }
    }

    /// Asks for notices of these folders, from now on. True where that is new: what was written in
    /// between has given no notice.
    pub(crate) fn follow(&mut self, folders: Vec<PathBuf>) -> bool {
        if folders == self.folders {
            return false;
        }
        let news = folders.iter().filter(|f| !self.folders.contains(f));
        let asked = news.filter(|folder| self.changes.ask(folder)).count();
        self.folders = folders;
        asked > 0
    }
}

#[cfg(any(target_os = "linux", target_os = "android"))]
mod system {
    use std::os::fd::{AsFd, BorrowedFd, OwnedFd};
    use std::path::Path;
    use std::sync::Arc;

    use rustix::fs::inotify::{CreateFlags, WatchFlags, add_watch, init};

    /// Notices of changes in folders.
    #[derive(Clone)]
    pub(crate) struct Changes(Option<Arc<OwnedFd>>);

    impl Changes {
        /// A channel with no folder yet; an empty one where the system gives none.
        pub(crate) fn new() -> Changes {
            let made = init(CreateFlags::NONBLOCK | CreateFlags::CLOEXEC);
            Changes(made.ok().map(Arc::new))
        }

        /// Asks for notices of a folder; false where there are none.
        pub(crate) fn ask(&self, folder: &Path) -> bool {
            let what = WatchFlags::CREATE
                | WatchFlags::MODIFY
                | WatchFlags::MOVED_TO
                | WatchFlags::MOVED_FROM
                | WatchFlags::DELETE
                | WatchFlags::ONLYDIR;
            let asked = self.0.as_ref().map(|fd| add_watch(fd, folder, what));
            asked.is_some_and(|asked| asked.is_ok())
        }

        /// What to wait on.
        pub(crate) fn fd(&self) -> Option<BorrowedFd<'_>> {
            self.0.as_ref().map(|fd| fd.as_fd())
        }

        /// Takes the notices that have come; what they say in detail is looked for anyway.
        pub(crate) fn drain(&self) {
            let mut room = [0u8; 4096];
            while let Some(fd) = &self.0
                && rustix::io::read(fd, &mut room).is_ok_and(|n| n > 0)
            {}
        }
    }
}

#[cfg(not(any(target_os = "linux", target_os = "android")))]
mod system {
    use std::os::fd::BorrowedFd;
    use std::path::Path;

    /// No notices here.
    #[derive(Clone)]
    pub(crate) struct Changes;

    impl Changes {
        pub(crate) fn new() -> Changes {
            Changes
        }

        pub(crate) fn ask(&self, _folder: &Path) -> bool {
            false
        }

        pub(crate) fn fd(&self) -> Option<BorrowedFd<'_>> {
            None
        }

        pub(crate) fn drain(&self) {}
    }
}
