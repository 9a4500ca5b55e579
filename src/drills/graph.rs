//! Which crossings of a piece are practised by which scales: a graph between the two.
//!
//! In: the movements of both hands. Out: a [`PracticeGraph`]. Crossings that ask the same of the hand are one node, with
//! the effort of all; an edge to a scale says that the scale contains it, exactly or nearly.

use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;

use super::candidates::{candidates, scales_practising};
use crate::crossing::{Crossing, Practice};
use crate::movements::Movement;

/// All crossings of a piece that ask the same.
#[derive(Clone, PartialEq, Debug)]
pub struct CrossingGroup {
    /// What they ask.
    pub crossing: Crossing,
    /// Effort of all, in thousandths.
    pub effort: u64,
    /// The movements, in playing order, as indices into the movements that the graph was built from.
    pub movements: Vec<usize>,
    /// The one of greatest effort among them, the first of equals.
    pub hardest: usize,
}

#[derive(Clone, Debug)]
enum Node {
    Crossing(CrossingGroup),
    /// Index into [`candidates`].
    Scale(usize),
}

/// The graph. Scales go by their indices into [`candidates`].
#[derive(Clone, Debug)]
pub struct PracticeGraph {
    graph: UnGraph<Node, Practice>,
    scales: Vec<NodeIndex>,
    groups: Vec<NodeIndex>,
}

impl PracticeGraph {
    /// From the movements of a piece; those that are no crossings are passed over.
    pub fn new(movements: &[Movement]) -> Self {
        let mut graph = UnGraph::default();
        let scales = (0..candidates().len()).map(|index| graph.add_node(Node::Scale(index))).collect();
        let mut this = Self { graph, scales, groups: Vec::new() };
        let crossing = |(index, movement): (usize, &Movement)| Some((movement.crossing()?, index));
        let mut crossings: Vec<_> = movements.iter().enumerate().filter_map(crossing).collect();
        crossings.sort_unstable();
        for same in crossings.chunk_by(|a, b| a.0 == b.0) {
            this.add(same, movements);
        }
        this
    }

    fn add(&mut self, same: &[(Crossing, usize)], movements: &[Movement]) {
        let Some((crossing, first)) = same.first() else { return };
        let effort = |index: usize| movements.get(index).map_or(0, |m| (m.effort * 1000.0).round() as u64);
        let members: Vec<usize> = same.iter().map(|(_, index)| *index).collect();
        let harder = |best: usize, next: &usize| if effort(*next) > effort(best) { *next } else { best };
        let hardest = members.iter().fold(*first, harder);
        let sum = members.iter().map(|index| effort(*index)).fold(0, u64::saturating_add);
        let group = CrossingGroup { crossing: *crossing, effort: sum, movements: members, hardest };
        let node = self.graph.add_node(Node::Crossing(group));
        self.groups.push(node);
        let practising = scales_practising(crossing);
        for (index, scale) in self.scales.iter().enumerate().filter(|(index, _)| practising.nearly >> index & 1 == 1) {
            let exact = practising.exact >> index & 1 == 1;
            self.graph.add_edge(node, *scale, if exact { Practice::Exact } else { Practice::Nearly });
        }
    }

    fn group(&self, node: NodeIndex) -> Option<&CrossingGroup> {
        match self.graph.node_weight(node)? {
            Node::Crossing(group) => Some(group),
            Node::Scale(_) => None,
        }
    }

    fn scale(&self, node: NodeIndex) -> Option<usize> {
        match self.graph.node_weight(node)? {
            Node::Crossing(_) => None,
            Node::Scale(index) => Some(*index),
        }
    }

    /// The groups of crossings, in the order of [`Crossing`].
    pub fn groups(&self) -> impl Iterator<Item = &CrossingGroup> {
        self.groups.iter().filter_map(|node| self.group(*node))
    }

    /// The groups that a scale practises, and how well.
    pub fn practised_by(&self, scale: usize) -> impl Iterator<Item = (&CrossingGroup, Practice)> {
        let edges = self.scales.get(scale).into_iter().flat_map(|scale| self.graph.edges(*scale));
        edges.filter_map(|edge| Some((self.group(edge.target())?, *edge.weight())))
    }

    /// Every group with the scale that practises it best, of equals the first of `scales`; none where no scale does.
    pub fn assigned_to<'a>(
        &'a self,
        scales: &'a [usize],
    ) -> impl Iterator<Item = (&'a CrossingGroup, Option<(Practice, usize)>)> {
        self.groups.iter().filter_map(move |node| {
            let place = |scale: usize| scales.iter().position(|chosen| *chosen == scale);
            let chosen = self.graph.edges(*node).filter_map(|edge| {
                let place = place(self.scale(edge.target())?)?;
                Some((*edge.weight(), std::cmp::Reverse(place)))
            });
            let best = chosen.max().map(|(practice, std::cmp::Reverse(place))| (practice, place));
            Some((self.group(*node)?, best))
        })
    }

    /// Effort of all crossings, in thousandths.
    pub fn effort(&self) -> u64 {
        self.groups().fold(0, |sum, group| sum.saturating_add(group.effort))
    }

    /// Effort of the crossings that no scale practises.
    pub fn effort_beyond_scales(&self) -> u64 {
        let alone = self.groups.iter().filter(|node| self.graph.neighbors(**node).next().is_none());
        alone.filter_map(|node| self.group(*node)).fold(0, |sum, group| sum.saturating_add(group.effort))
    }

    /// Effort that a set of scales covers: what it contains exactly in full, what comes near by half.
    pub fn covered_by(&self, scales: &[usize]) -> u64 {
        self.assigned_to(scales)
            .filter_map(|(group, best)| best.map(|(practice, _)| covered(group.effort, practice)))
            .fold(0, u64::saturating_add)
    }
}

/// How much of an effort counts as covered.
///
/// Chosen by us: a crossing that is off by a semitone or by the colour of one key prepares the hand by half.
pub fn covered(effort: u64, practice: Practice) -> u64 {
    match practice {
        Practice::Exact => effort,
        Practice::Nearly => effort / 2,
    }
}
