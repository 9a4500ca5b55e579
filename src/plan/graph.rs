//! What must come before what, as a graph: scales practise crossings and passages, pieces need them, and some pieces
//! stand on others.
//!
//! In: the lessons. Out: a [`PlanGraph`]. Edges go from what comes first: scale to crossing or passage, these to piece,
//! piece to a later piece that would be out of reach without it. Since a piece points to later pieces only and nothing
//! points back at a scale, there is no cycle; the builder sorts the graph topologically and would drop an edge rather
//! than return one.

use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};
use serde::Serialize;

use super::course::{Course, Step};
use crate::crossing::Practice;
use crate::readiness::practice::Practised;
use crate::readiness::{Ability, candidates};
use crate::shelf::Entry;
use crate::units::Hand;

/// Crossings shown for a piece at most. Chosen by us: the hardest few tell the story.
const MOST_CROSSINGS: usize = 4;

/// Passages shown for a piece at most.
const MOST_PASSAGES: usize = 3;

/// What a node stands for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum NodeKind {
    /// A scale to learn.
    Scale,
    /// A crossing that a piece asks for.
    Crossing,
    /// A passage of a piece that a scale is made of.
    Passage,
    /// A piece.
    Piece,
}

/// What an edge says.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EdgeKind {
    /// The scale practises the crossing or the passage.
    Practises,
    /// The piece needs the crossing or the passage.
    NeededBy,
    /// The piece would be out of reach without the one before.
    Before,
}

/// A node; its id is its place in the list.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct PlanNode {
    /// What it stands for.
    pub kind: NodeKind,
    /// Its name.
    pub name: String,
    /// Lesson in which it is learnt, from 1; none for crossings and passages.
    pub lesson: Option<usize>,
}

/// An edge between nodes by their places.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
pub struct PlanEdge {
    /// What comes first.
    pub from: usize,
    /// What comes after.
    pub to: usize,
    /// What it says.
    pub kind: EdgeKind,
}

/// The graph as a report writes it, in topological order: every edge goes from an earlier node to a later one.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize)]
pub struct PlanGraph {
    /// Nodes.
    pub nodes: Vec<PlanNode>,
    /// Edges, sorted.
    pub edges: Vec<PlanEdge>,
}

struct Builder {
    graph: DiGraph<PlanNode, EdgeKind>,
}

impl Builder {
    fn node(&mut self, kind: NodeKind, name: &str, lesson: Option<usize>) -> NodeIndex {
        let same = |index: &NodeIndex| self.graph[*index].kind == kind && self.graph[*index].name == name;
        // Two pieces may bear one title, but never in one lesson.
        let same = |index: &NodeIndex| same(index) && (kind != NodeKind::Piece || self.graph[*index].lesson == lesson);
        let known = self.graph.node_indices().find(same);
        known.unwrap_or_else(|| self.graph.add_node(PlanNode { kind, name: name.to_owned(), lesson }))
    }

    fn edge(&mut self, from: NodeIndex, to: NodeIndex, kind: EdgeKind) {
        if from != to {
            self.graph.update_edge(from, to, kind);
        }
    }
}

/// Builds the graph of the lessons.
pub(super) fn build(steps: &[Step], course: &Course<'_>, shelf: &[Entry], start: &Ability) -> PlanGraph {
    let mut builder = Builder { graph: DiGraph::new() };
    let scales: Vec<(usize, usize, Practised)> = Course::scales_of(steps)
        .into_iter()
        .map(|(scale, lesson)| {
            let mut practised = Course::nothing();
            for hand in Hand::BOTH {
                practised.add_scale(candidates()[scale], hand, 2);
            }
            (scale, lesson, practised)
        })
        .collect();
    let mut pieces: Vec<(usize, usize, NodeIndex)> = Vec::new();
    for (lesson, step) in steps.iter().enumerate() {
        for scale in &step.scales {
            if let Some(scale) = candidates().get(*scale) {
                builder.node(NodeKind::Scale, &scale.to_string(), Some(lesson + 1));
            }
        }
        let Some((piece, entry)) = step.piece.and_then(|piece| Some((piece, shelf.get(piece)?))) else { continue };
        let node = builder.node(NodeKind::Piece, entry.title(), Some(lesson + 1));
        let learnt = |scale: &&(usize, usize, Practised)| scale.1 <= lesson;
        let scale_node = |builder: &mut Builder, (scale, at, _): &(usize, usize, Practised)| {
            builder.node(NodeKind::Scale, &candidates()[*scale].to_string(), Some(at + 1))
        };
        let before = course.before(steps, lesson);
        for (name, crossing) in hardest_new(entry, &before, start) {
            let crossing_node = builder.node(NodeKind::Crossing, &name, None);
            builder.edge(crossing_node, node, EdgeKind::NeededBy);
            for scale in scales.iter().filter(learnt).filter(|scale| scale.2.best(&crossing) == Some(Practice::Exact)) {
                let scale_node = scale_node(&mut builder, scale);
                builder.edge(scale_node, crossing_node, EdgeKind::Practises);
            }
        }
        for (name, key) in runs(entry) {
            let passage_node = builder.node(NodeKind::Passage, &name, None);
            builder.edge(passage_node, node, EdgeKind::NeededBy);
            for scale in scales.iter().filter(learnt).filter(|scale| candidates()[scale.0].to_string() == key) {
                let scale_node = scale_node(&mut builder, scale);
                builder.edge(scale_node, passage_node, EdgeKind::Practises);
            }
        }
        for (earlier, _, earlier_node) in &pieces {
            if course.is_needed(steps, *earlier, lesson, piece) {
                builder.edge(*earlier_node, node, EdgeKind::Before);
            }
        }
        pieces.push((piece, lesson, node));
    }
    sorted(builder.graph)
}

/// The hardest crossings of a piece that were not practised before its lesson, by name.
fn hardest_new(entry: &Entry, before: &Ability, start: &Ability) -> Vec<(String, crate::crossing::Crossing)> {
    let mut new: Vec<_> = entry
        .piece
        .crossings
        .iter()
        .filter(|demand| start.plays[demand.crossing.hand as usize])
        .filter(|demand| before.practised.best(&demand.crossing) != Some(Practice::Exact))
        .collect();
    new.sort_by_key(|demand| std::cmp::Reverse(demand.effort));
    new.iter().take(MOST_CROSSINGS).map(|demand| (demand.crossing.name(), demand.crossing)).collect()
}

/// Scale runs of a piece: their names and the names of their scales.
fn runs(entry: &Entry) -> Vec<(String, String)> {
    let runs = entry.piece.passages.iter().filter(|passage| passage.kind == "scale run");
    runs.filter_map(|passage| passage.key.clone())
        .map(|key| (format!("scale run in {key}"), key))
        .take(MOST_PASSAGES)
        .collect()
}

/// Nodes in topological order, with their edges.
fn sorted(mut graph: DiGraph<PlanNode, EdgeKind>) -> PlanGraph {
    let order = loop {
        match toposort(&graph, None) {
            Ok(order) => break order,
            Err(cycle) => {
                let node = cycle.node_id();
                graph.retain_edges(|graph, edge| graph.edge_endpoints(edge).is_none_or(|(from, _)| from != node));
            }
        }
    };
    let mut place = vec![0; graph.node_count()];
    for (at, node) in order.iter().enumerate() {
        place[node.index()] = at;
    }
    let mut edges: Vec<PlanEdge> = graph
        .edge_indices()
        .filter_map(|edge| {
            let (from, to) = graph.edge_endpoints(edge)?;
            Some(PlanEdge { from: place[from.index()], to: place[to.index()], kind: graph[edge] })
        })
        .collect();
    edges.sort_unstable();
    PlanGraph { nodes: order.into_iter().map(|node| graph[node].clone()).collect(), edges }
}
