//! A disk in memory. Every file has bytes that are seen and bytes that are kept; every folder has
//! names that are seen and names that are kept. Only a sync turns the one into the other, and only
//! of the very file or folder that is synced, as POSIX has it and no more.
//!
//! After a failed sync the pages of the file count as clean though nothing of them need be on
//! disk, and a later sync passes over them (Rebello and others, 2020).

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::io;
use std::ops::Range;
use std::path::{Component, Path, PathBuf};
use std::rc::Rc;

use handlamp::logbook::{Disk, DiskFile, Kind};
use rustix::io::Errno;

pub type Node = usize;

/// A folder's names.
#[derive(Clone, Default)]
pub struct Names {
    pub kept: BTreeMap<OsString, Node>,
    pub seen: BTreeMap<OsString, Node>,
}

/// A file's bytes.
#[derive(Clone, Default)]
pub struct Data {
    pub kept: Vec<u8>,
    pub seen: Vec<u8>,
    /// Parts of `seen` that the next sync will bring to disk.
    pub dirty: Vec<Range<usize>>,
    /// Parts of `seen` that a failed sync gave up, and that may or may not be on disk.
    pub lost: Vec<Range<usize>>,
    /// Bytes cut off before any sync; the disk may have got them nevertheless.
    pub cut: Vec<u8>,
}

#[derive(Clone)]
pub enum Inode {
    Folder(Names),
    File(Data),
}

/// One change of a folder's names, not yet synced; what stands in it happens together or not.
#[derive(Clone)]
pub struct Change {
    pub folder: Node,
    pub names: Vec<(OsString, Option<Node>)>,
}

#[derive(Clone)]
pub struct State {
    pub nodes: Vec<Inode>,
    pub pending: Vec<Change>,
}

pub const ROOT: Node = 0;

/// What goes wrong with a call.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    Error(Errno),
    /// A write takes only a part, and the next call fails.
    Part(Errno),
    /// A write takes only a part, and nothing else is wrong.
    Short,
}

#[derive(Clone, Copy, Debug)]
pub struct Plan {
    pub fault: Fault,
    /// The number of the first call that fails, from 0.
    pub from: usize,
    /// How many calls from there on.
    pub calls: usize,
}

type Watcher = Box<dyn FnMut(&State, usize)>;

struct Inner {
    state: RefCell<State>,
    plan: Cell<Option<Plan>>,
    full: Cell<bool>,
    calls: Cell<usize>,
    watcher: RefCell<Option<Watcher>>,
}

#[derive(Clone)]
pub struct MemDisk(Rc<Inner>);

impl MemDisk {
    /// With nothing but this folder.
    pub fn with(base: &Path) -> MemDisk {
        let root = Inode::Folder(Names::default());
        let disk = MemDisk::of(State {
            nodes: vec![root],
            pending: Vec::new(),
        });
        for up in base.ancestors().collect::<Vec<_>>().iter().rev().skip(1) {
            disk.make_dir(up).expect("a folder");
        }
        disk.0.state.borrow_mut().settle();
        disk.0.calls.set(0);
        disk
    }

    pub fn of(state: State) -> MemDisk {
        MemDisk(Rc::new(Inner {
            state: RefCell::new(state),
            plan: Cell::new(None),
            full: Cell::new(false),
            calls: Cell::new(0),
            watcher: RefCell::new(None),
        }))
    }

    pub fn state(&self) -> State {
        self.0.state.borrow().clone()
    }

    /// From now on `watcher` is shown every state after a call that changed something.
    pub fn watch(&self, watcher: impl FnMut(&State, usize) + 'static) {
        *self.0.watcher.borrow_mut() = Some(Box::new(watcher));
    }

    pub fn plan(&self, plan: Plan) {
        self.0.plan.set(Some(plan));
    }

    /// No more failures, and room again.
    pub fn heal(&self) {
        self.0.plan.set(None);
        self.0.full.set(false);
    }

    /// No write takes anything until [`heal`](Self::heal).
    pub fn fill(&self) {
        self.0.full.set(true);
    }

    /// How many calls were made.
    pub fn calls(&self) -> usize {
        self.0.calls.get()
    }

    /// Another program puts a file in the place of `path`, or takes it away, for good.
    pub fn meddle(&self, path: &Path, bytes: Option<&[u8]>) {
        let mut state = self.0.state.borrow_mut();
        let (folder, name) = state.place(path).expect("a place");
        let file = bytes.map(|bytes| {
            state.nodes.push(Inode::File(Data {
                kept: bytes.to_vec(),
                seen: bytes.to_vec(),
                ..Data::default()
            }));
            state.nodes.len() - 1
        });
        state.change(folder, vec![(name, file)]);
        state.sync_names(folder);
    }

    /// A folder and those above it, if they are not there.
    pub fn folders(&self, path: &Path) {
        let above: Vec<_> = path.ancestors().collect();
        for up in above.iter().rev().skip(1) {
            self.make_dir(up).expect("a folder");
        }
    }

    /// A file that is there from the start, with the folders that lead to it.
    pub fn give(&self, path: &Path, bytes: &[u8]) {
        self.folders(path.parent().expect("a folder"));
        let mut file = self.create_new(path).expect("a new file");
        assert_eq!(file.write(bytes).ok(), Some(bytes.len()));
        self.0.state.borrow_mut().settle();
    }

    /// Counts a call, and says what goes wrong with it.
    fn call(&self) -> Option<Fault> {
        let n = self.0.calls.get();
        self.0.calls.set(n + 1);
        let plan = self.0.plan.get()?;
        let at = n.checked_sub(plan.from)?;
        match plan.fault {
            Fault::Part(e) if at > 0 => (at <= plan.calls).then_some(Fault::Error(e)),
            fault => (at < plan.calls).then_some(fault),
        }
    }

    fn pass(&self) -> io::Result<()> {
        match self.call() {
            Some(Fault::Error(e)) => Err(e.into()),
            _ => Ok(()),
        }
    }

    /// Shows the state as it is: something was acknowledged, and the power may go before the next
    /// call.
    pub fn show(&self) {
        if let Some(watcher) = &mut *self.0.watcher.borrow_mut() {
            watcher(&self.0.state.borrow(), self.0.calls.get());
        }
    }

    fn shown<T>(&self, done: T) -> T {
        self.show();
        done
    }
}

impl State {
    /// Everything seen is kept.
    pub fn settle(&mut self) {
        self.pending.clear();
        for node in &mut self.nodes {
            match node {
                Inode::Folder(names) => names.kept = names.seen.clone(),
                Inode::File(data) => {
                    *data = Data {
                        kept: data.seen.clone(),
                        seen: std::mem::take(&mut data.seen),
                        ..Data::default()
                    };
                }
            }
        }
    }

    /// Whether everything seen is kept.
    pub fn is_settled(&self) -> bool {
        let kept = |node: &Inode| match node {
            Inode::Folder(names) => names.kept == names.seen,
            Inode::File(data) => data.kept == data.seen,
        };
        self.nodes.iter().all(kept)
    }

    pub fn names(&self, node: Node) -> io::Result<&Names> {
        match &self.nodes[node] {
            Inode::Folder(names) => Ok(names),
            Inode::File(_) => Err(Errno::NOTDIR.into()),
        }
    }

    fn find(&self, path: &Path) -> io::Result<Node> {
        path.components().try_fold(ROOT, |at, part| match part {
            Component::Normal(name) => {
                let found = self.names(at)?.seen.get(name).copied();
                found.ok_or_else(|| Errno::NOENT.into())
            }
            _ => Ok(at),
        })
    }

    fn place(&self, path: &Path) -> io::Result<(Node, OsString)> {
        let folder = self.find(path.parent().unwrap_or(Path::new("/")))?;
        self.names(folder)?;
        Ok((folder, path.file_name().unwrap_or_default().to_owned()))
    }

    fn change(&mut self, folder: Node, names: Vec<(OsString, Option<Node>)>) {
        if let Inode::Folder(all) = &mut self.nodes[folder] {
            put(&mut all.seen, &names);
        }
        self.pending.push(Change { folder, names });
    }

    fn sync_names(&mut self, folder: Node) {
        let (now, later) = std::mem::take(&mut self.pending)
            .into_iter()
            .partition(|change| change.folder == folder);
        self.pending = later;
        if let Inode::Folder(all) = &mut self.nodes[folder] {
            let now: Vec<Change> = now;
            now.iter()
                .for_each(|change| put(&mut all.kept, &change.names));
        }
    }

    fn data(&mut self, node: Node) -> &mut Data {
        match &mut self.nodes[node] {
            Inode::File(data) => data,
            Inode::Folder(_) => unreachable!("a file is written to"),
        }
    }

    fn make(&mut self, path: &Path, inode: Inode) -> io::Result<Node> {
        let (folder, name) = self.place(path)?;
        if self.names(folder)?.seen.contains_key(&name) {
            return Err(Errno::EXIST.into());
        }
        self.nodes.push(inode);
        let node = self.nodes.len() - 1;
        self.change(folder, vec![(name, Some(node))]);
        Ok(node)
    }

    fn move_to(&mut self, from: &Path, to: &Path, over: bool) -> io::Result<()> {
        let node = self.find(from)?;
        let ((a, old), (b, new)) = (self.place(from)?, self.place(to)?);
        if !over && self.names(b)?.seen.contains_key(&new) {
            return Err(Errno::EXIST.into());
        }
        if a == b {
            self.change(a, vec![(old, None), (new, Some(node))]);
        } else {
            self.change(b, vec![(new, Some(node))]);
            self.change(a, vec![(old, None)]);
        }
        Ok(())
    }

    /// All files seen, by path.
    pub fn files(&self) -> Vec<(PathBuf, &[u8])> {
        let mut found = Vec::new();
        self.walk(ROOT, Path::new("/"), &mut found);
        found
    }

    fn walk<'a>(&'a self, node: Node, path: &Path, found: &mut Vec<(PathBuf, &'a [u8])>) {
        match &self.nodes[node] {
            Inode::File(data) => found.push((path.to_owned(), &data.seen)),
            Inode::Folder(names) => {
                for (name, node) in &names.seen {
                    self.walk(*node, &path.join(name), found);
                }
            }
        }
    }
}

pub fn put(into: &mut BTreeMap<OsString, Node>, names: &[(OsString, Option<Node>)]) {
    for (name, node) in names {
        match node {
            Some(node) => into.insert(name.clone(), *node),
            None => into.remove(name),
        };
    }
}

impl Data {
    /// The disk as a good sync leaves it.
    pub fn flushed(&self) -> Vec<u8> {
        let mut kept = self.kept.clone();
        kept.resize(self.seen.len(), 0);
        for run in &self.dirty {
            kept[run.clone()].copy_from_slice(&self.seen[run.clone()]);
        }
        kept
    }

    fn cut_to(&mut self, length: usize) {
        self.cut = self.seen.split_off(length);
        for runs in [&mut self.dirty, &mut self.lost] {
            runs.retain(|run| run.start < length);
            runs.iter_mut()
                .for_each(|run| run.end = run.end.min(length));
        }
    }
}

impl Disk for MemDisk {
    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        self.pass()?;
        let folder = Inode::Folder(Names::default());
        let made = self.0.state.borrow_mut().make(path, folder);
        match made {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                let state = self.0.state.borrow();
                state.names(state.find(path)?).map(|_| false)
            }
            made => made.map(|_| self.shown(true)),
        }
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        self.pass()?;
        let file = Inode::File(Data::default());
        let node = self.0.state.borrow_mut().make(path, file)?;
        let disk = self.clone();
        Ok(self.shown(Box::new(MemFile { disk, node })))
    }

    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        self.pass()?;
        let mut state = self.0.state.borrow_mut();
        let folder = state.find(path)?;
        state.sync_names(folder);
        drop(state);
        self.shown(Ok(()))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.pass()?;
        self.0.state.borrow_mut().move_to(from, to, true)?;
        self.shown(Ok(()))
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.pass()?;
        self.0.state.borrow_mut().move_to(from, to, false)?;
        self.shown(Ok(()))
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.pass()?;
        let mut state = self.0.state.borrow_mut();
        state.find(path)?;
        let (folder, name) = state.place(path)?;
        state.change(folder, vec![(name, None)]);
        drop(state);
        self.shown(Ok(()))
    }

    fn list(&self, path: &Path) -> io::Result<Vec<(OsString, Kind)>> {
        self.pass()?;
        let state = self.0.state.borrow();
        let kind = |node: &Node| match &state.nodes[*node] {
            Inode::Folder(_) => Kind::Folder,
            Inode::File(_) => Kind::File,
        };
        let names = state.names(state.find(path)?)?.seen.iter();
        Ok(names
            .map(|(name, node)| (name.clone(), kind(node)))
            .collect())
    }

    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>> {
        self.pass()?;
        let state = self.0.state.borrow();
        match &state.nodes[state.find(path)?] {
            Inode::Folder(_) => Err(io::ErrorKind::InvalidInput.into()),
            Inode::File(data) if data.seen.len() as u64 > limit => {
                Err(io::ErrorKind::FileTooLarge.into())
            }
            Inode::File(data) => Ok(data.seen.clone()),
        }
    }
}

struct MemFile {
    disk: MemDisk,
    node: Node,
}

impl MemFile {
    fn sync(&self) -> io::Result<()> {
        let passed = self.disk.pass();
        let mut state = self.disk.0.state.borrow_mut();
        let data = state.data(self.node);
        if passed.is_ok() {
            data.kept = data.flushed();
            data.cut.clear();
            data.dirty.clear();
        } else {
            data.lost.append(&mut data.dirty);
        }
        drop(state);
        self.disk.shown(passed)
    }
}

impl DiskFile for MemFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let most = match self.disk.call() {
            Some(Fault::Error(e)) => return Err(e.into()),
            _ if self.disk.0.full.get() => return Err(Errno::NOSPC.into()),
            Some(Fault::Part(_) | Fault::Short) => bytes.len().div_ceil(3),
            None => bytes.len(),
        };
        let mut state = self.disk.0.state.borrow_mut();
        let data = state.data(self.node);
        let start = data.seen.len();
        data.seen.extend_from_slice(&bytes[..most]);
        data.dirty.push(start..data.seen.len());
        drop(state);
        self.disk.shown(Ok(most))
    }

    fn sync_data(&mut self) -> io::Result<()> {
        self.sync()
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.sync()
    }

    fn cut_back(&mut self, from: u64, to: u64) -> io::Result<()> {
        self.disk.pass()?;
        let mut state = self.disk.0.state.borrow_mut();
        let data = state.data(self.node);
        if data.seen.len() as u64 != from {
            return Err(io::Error::other("someone else has changed the file"));
        }
        data.cut_to(usize::try_from(to).expect("a length"));
        drop(state);
        self.disk.shown(Ok(()))
    }

    fn is_at(&self, path: &Path) -> bool {
        let state = self.disk.0.state.borrow();
        state.find(path).is_ok_and(|node| node == self.node)
    }
}
